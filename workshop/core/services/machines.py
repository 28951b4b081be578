"""Writers of machines: where one stands, and its facts."""

from collections.abc import Mapping
from typing import Any

from workshop.core import acts
from workshop.core.acts import Act
from workshop.core.models import JournalEntry, Machine, Place


def place_named(name: str) -> Place:
    """Return the place of that name, adding it when it is new (case is ignored)."""
    cleaned = " ".join(name.split())
    return Place.objects.filter(name__iexact=cleaned).first() or Place.objects.create(name=cleaned)


def move_machine(act: Act, machine: Machine, version: int, place_name: str) -> JournalEntry:
    """Note where a machine stands now. :raises Stale: when it was moved or changed meanwhile."""
    with acts.once(act):
        place = place_named(place_name)
        before, after = acts.change(machine, version, {"place": place})
        return acts.write(
            act,
            "move_machine",
            f"{machine} now stands at {place}",
            machine,
            machine=machine,
            before=before,
            after=after,
        )


def change_machine(act: Act, machine: Machine, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Change the facts of a machine. :raises Stale: when they were changed meanwhile."""
    with acts.once(act):
        before, after = acts.change(machine, version, values)
        return acts.write(
            act,
            "change_machine",
            f"Changed the facts of {machine}",
            machine,
            machine=machine,
            before=before,
            after=after,
        )
