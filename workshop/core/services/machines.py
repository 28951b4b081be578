"""Writers of machines: where one stands, and its facts."""

from collections.abc import Mapping
from typing import Any

from workshop.core import acts, search
from workshop.core.acts import Act
from workshop.core.models import JournalEntry, Machine
from workshop.core.services.places import place_for


def move_machine(act: Act, machine: Machine, version: int, place_name: str, *, sure: str = "") -> JournalEntry:
    """Note where a machine stands now.

    :raises Odd: when another machine stands in a spot for one, until a second press says yes
    :raises Stale: when it was moved or changed meanwhile.
    """
    with acts.once(act):
        place = place_for(machine, place_name, sure=sure)
        before, after = acts.change(machine, version, {"place": place})
        search.refresh_machine(machine)
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
        search.refresh_machine(machine)
        return acts.write(
            act,
            "change_machine",
            f"Changed the facts of {machine}",
            machine,
            machine=machine,
            before=before,
            after=after,
        )
