"""The spot-check of a drawn unit: which readings are repeated, and by whom. Nobody hears of it before the rest is done.

Whoever knows beforehand which two are repeated takes more care with those two than with the others.
"""

from dataclasses import dataclass

from django.utils import timezone

from workshop.bench.facts.prove.standing import ItemState, ProveFacts, Standing
from workshop.core.models import Reading


@dataclass(frozen=True, slots=True)
class Repeat:
    """One reading to repeat: the first, and the second beside it once it was taken as a spot-check wants it."""

    standing: Standing
    first: Reading
    second: Reading | None


def repeats(facts: ProveFacts) -> list[Repeat]:
    """Return the readings a drawn unit repeats, those that still stand in its set; none where it was not drawn."""
    if facts.spot is None or not facts.spot.drawn:
        return []
    rows = [facts.states[code] for code in facts.spot.items if code in facts.states]
    return [_repeat(each) for each in rows if each.reading is not None and each.state is not ItemState.NOT_POSSIBLE]


def _repeat(standing: Standing) -> Repeat:
    reading = standing.looks[0] if standing.looks else standing.reading
    if reading is None:
        raise ValueError("What is repeated was read once.")
    second = standing.looks[1] if standing.looks else None
    return Repeat(standing, reading, second if second and afresh(reading, second) else None)


def afresh(first: Reading, second: Reading) -> bool:
    """Say whether a repeat is one: by another person, or by the same person on another day."""
    same_day = timezone.localdate(first.at) == timezone.localdate(second.at)
    return first.by_id != second.by_id or not same_day
