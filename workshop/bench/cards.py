"""The cards of Prove as data: what is read or seen, in which order, and what each item wants first.

Check-list rules: a reading beats a tick, stop items first, five to nine items a card, limits shown before typing.
"""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from typing import Any

from django.utils.text import slugify

from workshop.core.models import Machine, ModelNotes
from workshop.core.templatetags.measures import number
from workshop.core.words import InstrumentKind, Kind
from workshop.trade.safety.electrical import (
    Appliance,
    ApplianceClass,
    Measure,
    OwnLimit,
    Profile,
)


class ItemKind(StrEnum):
    """Whether an item is read off an instrument or seen."""

    VALUE = "value"
    SEEN = "seen"


class Way(StrEnum):
    """How a card is worked."""

    READ_DO = "Read, then do"
    DO_CONFIRM = "Do, then check"


@dataclass(frozen=True, slots=True)
class Answer:
    """What may be seen: the word on the button, what it prints, whether it passes."""

    code: str
    label: str
    words: str
    passed: bool


@dataclass(frozen=True, slots=True)
class Box:
    """One box of an item: its name in the form, its label, its unit; or a choice of words, as (code, label)."""

    name: str
    label: str
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Rest:
    """How long a machine usually stands between two items, counted from the reading of the first."""

    after: str
    minutes: Decimal
    words: str


@dataclass(frozen=True, slots=True)
class Item:
    """One reading or one thing seen. Stop items stop the unit.

    Case-sensitive ones lapse when the case is opened, grinder-sensitive ones when the grinder is.
    """

    code: str
    title: str
    how_to: str
    kind: ItemKind = ItemKind.VALUE
    unit: str = ""
    answers: tuple[Answer, ...] = ()
    stop: bool = False
    needs_mains: bool = False
    case_sensitive: bool = False
    grinder_sensitive: bool = False
    instrument: InstrumentKind | None = None
    also: tuple[InstrumentKind, ...] = ()  # what it wants besides
    measure: Measure | None = None
    draws: tuple[str, ...] = ()  # a series: the label of each value, every one kept
    inputs: tuple[Box, ...] = ()  # what its value is computed from
    after: tuple[str, ...] = ()  # items that come before it
    rest: Rest | None = None
    full_only: bool = False
    opens_case: bool = False  # seen inside: answering it says that the case is open
    heated: bool = False  # read with the plug out, but hot: mains was on before
    shuts_case: bool = False  # its good answer says that the case is shut
    mains_side: bool = False  # after work on the mains side it wants a second look
    why: str = ""  # the failure that put it on the card

    @property
    def seen(self) -> bool:
        """Whether it is seen, not measured."""
        return self.kind is ItemKind.SEEN

    @property
    def lapses_with(self) -> str:
        """What its readings lapse with when it is opened."""
        return "grinder" if self.grinder_sensitive else "case"

    @property
    def waits_for_mains(self) -> bool:
        """Whether mains is on while it is read, or was on to heat it."""
        return self.needs_mains or self.heated

    @property
    def boxes(self) -> tuple[Box, ...]:
        """The boxes typed into, in order."""
        series = tuple(Box(f"draw_{at}", label, self.unit) for at, label in enumerate(self.draws, start=1))
        return self.inputs or series or (Box("value", "Your reading", self.unit),)

    @property
    def instruments(self) -> frozenset[str]:
        """Every kind of instrument it wants, by code."""
        return frozenset(kind.value for kind in (self.instrument, *self.also) if kind is not None)

    def answer(self, code: str) -> Answer | None:
        """Return what may be seen by its code."""
        return next((answer for answer in self.answers if answer.code == code), None)


@dataclass(frozen=True, slots=True)
class Card:
    """Five to nine items done in one go at the bench."""

    code: str
    title: str
    way: Way
    items: tuple[Item, ...]

    @property
    def head(self) -> str:
        """The card's kind, as its head says it."""
        return f"{self.title}. {self.way}"


@dataclass(frozen=True, slots=True)
class SafetyPartRow:
    """A cut-out or safety valve the model notes list."""

    name: str
    rating: str

    @property
    def code(self) -> str:
        """The item's code: by its name, since rows of the notes are laid anew when they are saved."""
        return f"part-{slugify(self.name)}"[:40]


@dataclass(frozen=True, slots=True)
class Unit:
    """What the cards of one machine depend on. `test_volts`: how insulation was, or is to be, tested."""

    kind: str
    pump: str
    has_steam: bool
    volts: int | None
    watts: int | None
    cord_words: str
    place_has_fused_plugs: bool
    profile: Profile
    appliance: Appliance
    parts: tuple[SafetyPartRow, ...] = ()
    test_volts: int = 500
    ready_high_min: int | None = None
    boiler_watts: int | None = None
    pump_watts: int | None = None
    has_hot_water: bool = True
    has_three_way_valve: bool = False
    has_grinder: bool = False
    has_button: bool = False
    gauge_words: str = ""
    deep: bool = False  # boiler, pump or wiring was touched in this job
    own: Mapping[str, OwnLimit] = field(default_factory=dict)  # our own limits, by measure

    @property
    def steam_rating_w(self) -> int | None:
        """Watts the steam test is held against: the boiler's, else the plate's where one element makes all heat."""
        return self.boiler_watts or (None if self.kind == Kind.DUAL_BOILER else self.watts)


def unit_of(machine: Machine, notes: ModelNotes, profile: Profile, parts: tuple[SafetyPartRow, ...]) -> Unit:
    """Return the facts of one machine that its cards depend on; the unit's own come before its model's."""
    watts = machine.watts or notes.watts
    length, section = machine.cord_length_m or notes.cord_length_m, machine.cord_section_mm2 or notes.cord_section_mm2
    heats = notes.kind != Kind.GRINDER
    appliance = Appliance(
        appliance_class=ApplianceClass(machine.appliance_class),
        cord_length_m=length or None,
        cord_section_mm2=section or None,
        heating_watts=Decimal(watts) if watts and heats else None,
        has_surge_parts=notes.has_surge_parts,
    )
    return Unit(
        kind=notes.kind,
        pump=notes.pump,
        has_steam=notes.has_steam,
        volts=machine.volts or notes.volts,
        watts=watts,
        cord_words=f"for a {number(length)} m cord" if length else "",
        place_has_fused_plugs="GB" in profile.places or profile.code.startswith("uk_"),
        profile=profile,
        appliance=appliance,
        parts=parts,
        **_fittings(notes),
    )


def _fittings(notes: ModelNotes) -> dict[str, Any]:
    known = notes.has_gauge and notes.gauge_from and notes.gauge_to
    return {
        "test_volts": 250 if notes.has_surge_parts else 500,
        "ready_high_min": notes.warm_up_high_min,
        "boiler_watts": notes.boiler_watts,
        "pump_watts": notes.pump_watts,
        "has_hot_water": notes.has_hot_water,
        "has_three_way_valve": notes.has_three_way_valve,
        "has_grinder": notes.has_grinder or notes.kind == Kind.GRINDER,
        "has_button": notes.timed_button is not None,
        "gauge_words": f"{notes.gauge_from} to {notes.gauge_to}" if known else "",
    }


# --- which items are asked -------------------------------------------------------------------------------


def asked(cards: tuple[Card, ...], owned: frozenset[str], *, full: bool) -> tuple[Card, ...]:
    """Return the cards with the items of the set only: stop items in any case, others where the instrument is owned."""
    return kept(cards, lambda item: (full or not item.full_only) and (item.stop or _can(item, owned)))


def without(cards: tuple[Card, ...], removed: Collection[str]) -> tuple[Card, ...]:
    """Return the cards without the items this workshop asks no longer; a stop item is never left out."""
    return kept(cards, lambda item: item.stop or item.code not in removed) if removed else cards


def not_owned(cards: tuple[Card, ...], owned: frozenset[str], *, full: bool) -> list[Item]:
    """Return the items of the set that are not asked because the workshop lacks an instrument."""
    lacking = kept(cards, lambda item: not item.stop and (full or not item.full_only) and not _can(item, owned))
    return [item for card in lacking for item in card.items]


def _can(item: Item, owned: frozenset[str]) -> bool:
    return item.instruments <= owned


def together(
    cards: tuple[Card, ...], codes: Collection[str], *, code: str, title: str, before: str
) -> tuple[Card, ...]:
    """Return the cards with these items taken out of theirs and laid on one card of their own, stop items first.

    `before`: code of the card it comes before.
    """
    moved = [item for card in cards for item in card.items if item.code in codes]
    if not moved:
        return cards
    own = Card(code, title, Way.READ_DO, tuple(sorted(moved, key=lambda item: not item.stop)))
    at = next((at for at, card in enumerate(cards) if card.code == before), 0)
    first, then = (kept(part, lambda item: item.code not in codes) for part in (cards[:at], cards[at:]))
    return (*first, own, *then)


def kept(cards: tuple[Card, ...], keep: Callable[[Item], bool]) -> tuple[Card, ...]:
    """Return the cards with the items to keep, without those left empty."""
    thinned = [replace(card, items=tuple(item for item in card.items if keep(item))) for card in cards]
    return tuple(card for card in thinned if card.items)
