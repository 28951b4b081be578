"""The desk writes nothing of its own: undo hands an entry back to the room that wrote it."""

from collections.abc import Callable

from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry
from workshop.desk import undo


def undo_entry(act: Act, entry: JournalEntry) -> JournalEntry:
    """Undo one journal entry. :raises Refused: when that act cannot be undone, or was undone before."""
    service: Callable[[Act, JournalEntry], JournalEntry] | None = undo.UNDO.get(entry.verb)
    if service is None:
        raise Refused("This cannot be undone here. Record what is true now instead.")
    return service(act, entry)
