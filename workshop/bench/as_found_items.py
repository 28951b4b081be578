"""The as-found card as data: what is looked at or tried on arrival, which of it needs mains, what each answer says.

Order: what may spread first, then what the model notes name, then front to back. The ways of looking are common
practice in the trade, no source; no figure is asked for, so none is given.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from intake.words import AsFoundAnswer, AsFoundItem
from workshop.core.models import ModelNotes
from workshop.core.words import Kind, Pump

Of = AsFoundItem


@dataclass(frozen=True, slots=True)
class AskedItem:
    """One item of the card. `good` and `bad` are the words its buttons say and its finding begins with."""

    code: AsFoundItem
    how_to: str
    good: str
    bad: str
    needs_mains: bool = False
    named: bool = False  # the model notes name it as a weak spot

    @property
    def title(self) -> str:
        """Return what it is called."""
        return str(self.code.label)

    def said(self, answer: AsFoundAnswer) -> str:
        """Return an answer in the words of its button."""
        words = {AsFoundAnswer.WORKS: self.good, AsFoundAnswer.FAULT: self.bad}
        return words.get(answer, f"{self.title}: cannot tell yet")


COLD = (
    AskedItem(
        Of.VERMIN,
        "Gloves on. Look into tank, tray, hopper and vents before it stands near another machine.",
        "No vermin or mould",
        "Vermin or mould seen",
    ),
    AskedItem(
        Of.SMELLS,
        "Smell at the vents, the tank and the cord: burnt, mouldy, smoke, petrol.",
        "No odd smell",
        "Smells",
    ),
    AskedItem(
        Of.LEAKS_COLD,
        "Unplugged. Fill the tank, let it stand, look under it and at the tank valve.",
        "No leak when cold",
        "Leaks when cold",
    ),
    AskedItem(
        Of.BUTTONS,
        "Unplugged. Press, turn and pull each one: it moves, clicks and comes back.",
        "Controls move",
        "A control sticks",
    ),
    AskedItem(
        Of.GAUGE_REST,
        "Cold and unplugged: glass whole, needle at nought.",
        "Gauge rests at nought",
        "Gauge is wrong at rest",
    ),
)
MAINS = (
    AskedItem(Of.POWERS, "Plug in behind an RCD, switch on: lamps light, it holds.", "Powers up", "No power", True),
    AskedItem(Of.HEATS, "Let it warm up until its ready sign.", "Heats", "Does not heat", True),
    AskedItem(Of.PUMP, "Tank full. Run water through the empty group.", "Pumps", "Does not pump", True),
    AskedItem(
        Of.LEAKS_HOT,
        "Hot, case shut. Look under it, at the group and at the valves. Keep your hands off.",
        "No leak when hot",
        "Leaks when hot",
        True,
    ),
    AskedItem(Of.STEAM, "Point the wand into the tray, then open it.", "Steams", "Does not steam", True),
    AskedItem(Of.HOT_WATER, "A jug under the tap, then open it.", "Gives hot water", "Gives no hot water", True),
    AskedItem(
        Of.GAUGE,
        "Watch it while it works: the needle rises, then falls back.",
        "Gauge moves",
        "Gauge does not move",
        True,
    ),
    AskedItem(Of.GRINDER, "A few beans: it turns, feeds and stops.", "Grinds", "Does not grind", True),
)
ITEMS = (*COLD, *MAINS)

# What it takes to have an item: the rest is on every machine.
HAS: dict[AsFoundItem, Callable[[ModelNotes], bool]] = {
    Of.LEAKS_COLD: lambda n: n.kind != Kind.GRINDER,
    Of.GAUGE_REST: lambda n: n.has_gauge,
    Of.HEATS: lambda n: n.kind != Kind.GRINDER,
    Of.PUMP: lambda n: n.kind != Kind.GRINDER and n.pump != Pump.NONE,
    Of.LEAKS_HOT: lambda n: n.kind != Kind.GRINDER,
    Of.STEAM: lambda n: n.kind != Kind.GRINDER and n.has_steam,
    Of.HOT_WATER: lambda n: n.kind != Kind.GRINDER and n.has_hot_water,
    Of.GAUGE: lambda n: n.has_gauge,
    Of.GRINDER: lambda n: n.kind == Kind.GRINDER or n.has_grinder,
}
# Words of a model's usual faults that point at an item. House policy.
NAMED = {
    Of.VERMIN: r"mould|vermin|insect",
    Of.SMELLS: r"smell|burnt",
    Of.LEAKS_COLD: r"leak|drip|tank valve",
    Of.BUTTONS: r"button|switch|knob|lever|paddle",
    Of.GAUGE_REST: r"gauge|needle",
    Of.POWERS: r"fuse|cord\b|trips|no power|dead\b",
    Of.HEATS: r"element|thermostat|heats|heating|stays cold",
    Of.PUMP: r"pump|primes|airlock",
    Of.LEAKS_HOT: r"leak|drip|gasket|seal",
    Of.STEAM: r"steam|wand",
    Of.HOT_WATER: r"hot[- ]water",
    Of.GAUGE: r"gauge|needle",
    Of.GRINDER: r"grind|burr|hopper",
}


def items_for(notes: ModelNotes) -> list[AskedItem]:
    """Return the items this model has: without mains first, in each half those its notes name first."""
    return [*_first(COLD, notes), *_first(MAINS, notes)]


def _first(items: tuple[AskedItem, ...], notes: ModelNotes) -> list[AskedItem]:
    had = [replace(item, named=_named(item, notes)) for item in items if HAS.get(item.code, _always)(notes)]
    return sorted(had, key=lambda item: (item.code != Of.VERMIN, not item.named))


def _always(_: ModelNotes) -> bool:
    return True


def _named(item: AskedItem, notes: ModelNotes) -> bool:
    return bool(re.search(NAMED[item.code], notes.note, re.IGNORECASE))


def find(notes: ModelNotes, code: str) -> AskedItem | None:
    """Return an item of this model by its code."""
    return next((item for item in items_for(notes) if item.code.value == code), None)


def seen_words(code: str) -> str:
    """Return what an item is called among things seen running: "heats", "pumps"."""
    item = next(item for item in ITEMS if item.code.value == code)
    return item.good[:1].lower() + item.good[1:]
