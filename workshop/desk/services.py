"""The desk writes nothing of its own: undo hands an entry back to the room that wrote it."""

from collections.abc import Callable

from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry
from workshop.core.words import Area
from workshop.desk import undo


def undo_entry(act: Act, entry: JournalEntry) -> JournalEntry:
    """Undo one journal entry.

    :raises Refused: when that act cannot be undone, was undone before, or is not for this person's eyes
    """
    if entry.area != Area.BENCH and not act.by.is_owner:
        raise Refused("Only the owner of the workshop may undo this.")
    service: Callable[[Act, JournalEntry], JournalEntry] | None = undo.UNDO.get(entry.verb)
    if service is None:
        raise Refused("This cannot be undone here. Record what is true now instead.")
    return service(act, entry)
