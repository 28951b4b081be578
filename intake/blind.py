"""The blind second look: who scores it, what they may see meanwhile, and both scores side by side afterwards.

While a person scores blind, every page shows them their own marks only; the workshop's marks come back when they
have finished. The blind walk never changes the machine's own score, its numbers or the buyer's sheet.
"""

from dataclasses import dataclass
from datetime import datetime

from intake import pages, zones
from intake.models import FaceLook, Mark, Walk
from intake.words import WalkKind
from workshop.core.models import Job, User
from workshop.core.templatetags.measures import day
from workshop.trade.condition.agreement import Agreement, Pair, agreement

# Entries of the record that would tell a blind person what the first one saw.
TELLING = ("add_mark", "mend_mark", "unmend_mark", "take_mark_back", "put_mark_back")


@dataclass(frozen=True, slots=True)
class BlindSection:
    """What the Walk-round page says of the blind second look."""

    state: str  # "ask", "mine", "under way", "done", or "" while the first walk is not finished
    words: str
    why_not: str = ""  # why this person may not begin it
    faces_unseen: int = 0
    first: str = ""
    blind: str = ""
    rows: tuple[str, ...] = ()


def hides_marks(job: Job, viewer: User | None) -> bool:
    """Say whether this person scores the job blind just now."""
    return viewer is not None and pages.blind_walk(job, viewer) is not None


def section(job: Job, viewer: User) -> BlindSection:
    """Return the state of the blind look, with both scores once it is finished."""
    walks = {walk.kind: walk for walk in Walk.objects.filter(job=job).select_related("by").prefetch_related("looks")}
    blind = walks.get(WalkKind.SECOND)
    if blind is None:
        first = walks.get(WalkKind.ARRIVAL)
        finished = first is not None and len(first.looks.all()) == len(zones.FACES)
        return BlindSection("ask" if finished and job.closed_at is None else "", "", why_not=why_not(job, viewer))
    if blind.finished_at is None:
        unseen = len(zones.FACES) - len(blind.looks.all())
        state = "mine" if blind.by_id == viewer.pk else "under way"
        return BlindSection(state, f"{blind.by} began on {day(blind.at)}", faces_unseen=unseen)
    rows = list(Mark.objects.filter(walk__job=job).select_related("walk", "loose_part").order_by("number", "pk"))
    pair = pair_of(blind, rows)
    own = [row for row in rows if row.walk_id == blind.pk and row.withdrawn_at is None]
    words = f"{blind.by} finished on {day(blind.finished_at)}"
    return BlindSection(
        "done", words, first=str(pair.first), blind=str(pair.blind), rows=tuple(pages.mark_words(row) for row in own)
    )


def pair_of(blind: Walk, rows: list[Mark]) -> Pair:
    """Return both scores of the machine as it stood when the blind walk was finished, by the blind walk's rule."""
    at = blind.finished_at or blind.at
    own = [row for row in rows if row.walk_id == blind.pk and row.withdrawn_at is None]
    first = [row for row in rows if row.walk_id != blind.pk and _stood(row, at)]
    rule = blind.rule_version
    return Pair(pages.score_of(first, rule).value, pages.score_of(own, rule).value)


def _stood(mark: Mark, at: datetime) -> bool:
    return mark.withdrawn_at is None and mark.at <= at and (mark.mended_at is None or mark.mended_at > at)


def why_not(job: Job, person: User) -> str:
    """Return why a person may not score this job blind; empty when they may."""
    first = Walk.objects.filter(job=job).exclude(kind=WalkKind.SECOND)
    seen = FaceLook.objects.filter(walk__in=first, by=person)
    noted = Mark.objects.filter(walk__in=first, by=person)
    if seen.exists() or noted.exists():
        return "You took part in the first walk-round. Another person must score it blind."
    return ""


def agreed() -> tuple[int, Agreement | None]:
    """Return how many closed machines have both scores, and how far they agree once there are enough."""
    walks = Walk.objects.filter(kind=WalkKind.SECOND, finished_at__isnull=False, job__closed_at__isnull=False)
    blind = {walk.job_id: walk for walk in walks}
    rows: dict[int, list[Mark]] = {job_id: [] for job_id in blind}
    marks = Mark.objects.filter(walk__job_id__in=blind).select_related("walk", "loose_part")
    for row in marks.order_by("pk"):
        rows[row.walk.job_id].append(row)
    pairs = [pair_of(walk, rows[job_id]) for job_id, walk in blind.items()]
    return len(pairs), agreement(pairs)
