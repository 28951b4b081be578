"""The quiet question at the gate: answers of one person on one card that came too fast to have been looked at."""

from collections import defaultdict
from dataclasses import dataclass

from workshop.bench.facts.prove import ProveFacts
from workshop.bench.models import TempoAnswer
from workshop.bench.models.corrections import STANDS
from workshop.core.models import Job, Reading
from workshop.trade.safety.discipline import hurried

_COUNTS = {3: "Three", 4: "Four", 5: "Five", 6: "Six", 7: "Seven", 8: "Eight", 9: "Nine"}


@dataclass(frozen=True, slots=True)
class Hurry:
    """A run of fast answers: what is asked, and what was said to it."""

    words: str
    last_pk: int
    answer: str

    @property
    def question(self) -> str:
        """The sentence with its question."""
        return f"{self.words} Were they looked at?"


def questions(job: Job, facts: ProveFacts) -> list[Hurry]:
    """Return the runs of fast answers, with the answer where somebody gave it. One query where there are any."""
    runs = _runs(facts)
    if not runs:
        return []
    rows = TempoAnswer.objects.filter(STANDS, job=job).select_related("by")
    said = {row.last_id: str(row) for row in rows}
    return [Hurry(_words(facts, run), run[-1].pk, said.get(run[-1].pk, "")) for run in runs]


def _runs(facts: ProveFacts) -> list[list[Reading]]:
    given: dict[tuple[str, int], list[Reading]] = defaultdict(list)
    for reading in facts.answers:
        given[reading.card, reading.by_id].append(reading)
    return [rows[a : b + 1] for rows in given.values() for a, b in hurried([row.at for row in rows])]


def _words(facts: ProveFacts, run: list[Reading]) -> str:
    title = next((card.title for card in facts.every_card if card.code == run[0].card), "one card")
    took_s = max(1, round((run[-1].at - run[0].at).total_seconds()))
    return f"{_COUNTS.get(len(run), len(run))} answers on {title} were given in {took_s} s."
