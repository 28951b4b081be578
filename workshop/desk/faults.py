"""Usual faults of a model: what its closed jobs came with, the same words counted together."""

import re
from collections import defaultdict
from dataclasses import dataclass, field

from intake.models import Finding
from workshop.core.models import Job, Machine, ModelNotes
from workshop.core.words import JobKind
from workshop.desk.models import PastRow

FEWEST = 3  # two machines cannot say what is usual. House policy, as for comparable prices.
SHOWN = 10
NEWEST = 200  # machines looked at: what was usual years ago is not, and a page must not slow down. House policy.


@dataclass(frozen=True, slots=True)
class Faults:
    """Sentences on what this model usually comes with; `few` says that the jobs are too few to tell."""

    words: str
    lines: list[str] = field(default_factory=list)
    few: bool = False


def usual(notes: ModelNotes) -> Faults | None:
    """Return what closed jobs of this model came with, None before the first has left. Three queries.

    Jobs brought in from an old book are not counted: nobody wrote down what they came with.
    """
    machines = Machine.objects.filter(notes=notes).order_by("-pk").values("pk")[:NEWEST]  # walks an index backwards
    jobs = Job.objects.filter(machine__in=machines, kind=JobKind.REFURBISH, closed_at__isnull=False)
    newest = list(jobs.values_list("pk", flat=True))
    from_the_past = set(PastRow.objects.filter(job_id__in=newest).values_list("job_id", flat=True))
    newest = [pk for pk in newest if pk not in from_the_past]
    closed = len(newest)
    if not closed:
        return None
    found = _counted(newest)
    if closed < FEWEST:
        many = "1 machine looked at here has" if closed == 1 else f"{closed} machines looked at here have"
        words = f"Only {many} left so far: too few to say what is usual."
        return Faults(words, [f"Came with: {what}" for what, _ in found], few=True)
    if not found:
        return Faults(f"{closed} machines looked at here have left, none with a fault found on arrival.")
    return Faults(
        f"Of {closed} looked at here that have left:",
        [f"{count} of {closed} came with: {what}" for what, count in found],
    )


def _counted(job_ids: list[int]) -> list[tuple[str, int]]:
    """Return each fault in the words first written, with the number of jobs that had it, most first."""
    first: dict[str, str] = {}
    seen: dict[str, set[int]] = defaultdict(set)
    for words, job_id in Finding.objects.filter(job_id__in=job_ids).order_by("pk").values_list("words", "job_id"):
        key = fold(words)
        first.setdefault(key, words.strip(" ."))
        seen[key].add(job_id)
    rows = sorted(((first[key], len(ids)) for key, ids in seen.items()), key=lambda row: (-row[1], row[0]))
    return rows[:SHOWN]


def fold(words: str) -> str:
    """Return words as they are compared: small letters, single gaps, no marks, no article."""
    bare = re.sub(r"[^\w\s]+", " ", words.casefold())
    return " ".join(word for word in bare.split() if word not in ("a", "an", "the"))
