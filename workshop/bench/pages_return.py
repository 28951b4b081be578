"""What a card asks on coming back to a place kept."""

from dataclasses import dataclass
from datetime import date

from workshop.bench import pauses, say
from workshop.bench.facts.prove import ProveFacts
from workshop.bench.models import Pause


@dataclass(frozen=True, slots=True)
class Return:
    """A place kept: where, and the last thing done, to be confirmed before going on."""

    pk: int
    words: str
    found: str
    saved: str
    item: str
    card: str
    last_item: str


def back_to(facts: ProveFacts, pause: Pause | None, today: date) -> Return | None:
    """Return what is asked on coming back to a place kept; the last thing done there is the newest of that card."""
    if pause is None:
        return None
    last = next((row for row in reversed(facts.answers) if row.card == pause.card), None)
    return Return(
        pk=pause.pk,
        words=pauses.words(pause, today),
        found=f"{last.title}: {say.found_words(last)}" if last else "",
        saved=say.saved_words(last, today) if last else "",
        item=pause.item,
        card=pause.card,
        last_item=last.item if last else "",
    )
