"""What this app can take back, by the verb of the journal entry."""

from workshop.core.undo import Undo

UNDO: dict[str, Undo] = {}
