"""Taking back what is never changed: a counter-row for each row, one journal entry for the act."""

from collections.abc import Collection
from typing import Any

from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry
from workshop.parts import services as parts

_OWN = ("id", "by_id", "at", "corrects_id", "struck", "movement_id")


def take_back(act: Act, rows: Collection[Any], words: str) -> JournalEntry:
    """Take rows of one act back as a slip; an earlier answer stands again, a part goes back to the drawer.

    :raises Refused: when each of them was taken back before
    """
    with acts.once(act):
        standing = [row for row in rows if not row.struck and not type(row).objects.filter(corrects=row).exists()]
        if not standing:
            raise Refused("This was taken back already.")
        for row in standing:
            counter_row(act, row)
        return acts.write(act, "take_back", f"Took back: {words}", standing[0], job=standing[0].job)


def counter_row(act: Act, row: Any) -> None:
    """Write the row that takes one back, inside the caller's act; its part goes back to the drawer."""
    movement = getattr(row, "movement", None)
    if movement is not None:
        parts.put_back(act, movement)
    same = {f.attname: getattr(row, f.attname) for f in row._meta.concrete_fields if f.attname not in _OWN}
    type(row).objects.create(**same, by=act.by, at=act.at, corrects=row, struck=True)
