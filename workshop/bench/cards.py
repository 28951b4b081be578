"""The cards of Prove as data: what is read or seen, in which order, and what each item wants first.

Check-list rules: a reading beats a tick, stop items first, five to nine items a card, limits shown before typing.
"""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum

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
class Item:
    """One reading or one thing seen. Stop items stop the unit; case-sensitive ones lapse when the case is opened."""

    code: str
    title: str
    how_to: str
    kind: ItemKind = ItemKind.VALUE
    unit: str = ""
    answers: tuple[Answer, ...] = ()
    stop: bool = False
    needs_mains: bool = False
    case_sensitive: bool = False
    instrument: InstrumentKind | None = None
    measure: Measure | None = None
    series: bool = False  # the lowest and the highest of a series are kept
    full_only: bool = False
    opens_case: bool = False  # seen inside: answering it says that the case is open
    shuts_case: bool = False  # its good answer says that the case is shut
    mains_side: bool = False  # after work on the mains side it wants a second look
    why: str = ""  # the failure that put it on the card

    @property
    def seen(self) -> bool:
        """Whether it is seen, not measured."""
        return self.kind is ItemKind.SEEN

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
    own: Mapping[str, OwnLimit] = field(default_factory=dict)  # our own limits, by measure


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
        test_volts=250 if notes.has_surge_parts else 500,
        ready_high_min=notes.warm_up_high_min,
    )


# --- which items are asked -------------------------------------------------------------------------------


def asked(cards: tuple[Card, ...], owned: frozenset[str], *, full: bool) -> tuple[Card, ...]:
    """Return the cards with the items of the set only: stop items in any case, others where the instrument is owned."""
    return _kept(cards, lambda item: (full or not item.full_only) and (item.stop or _can(item, owned)))


def without(cards: tuple[Card, ...], removed: Collection[str]) -> tuple[Card, ...]:
    """Return the cards without the items this workshop asks no longer; a stop item is never left out."""
    return _kept(cards, lambda item: item.stop or item.code not in removed) if removed else cards


def not_owned(cards: tuple[Card, ...], owned: frozenset[str]) -> list[Item]:
    """Return the items that are not asked because the workshop lacks the instrument, short set and full set."""
    return [item for card in cards for item in card.items if not item.stop and not _can(item, owned)]


def _can(item: Item, owned: frozenset[str]) -> bool:
    return item.instrument is None or item.instrument.value in owned


def _kept(cards: tuple[Card, ...], keep: Callable[[Item], bool]) -> tuple[Card, ...]:
    thinned = [replace(card, items=tuple(item for item in card.items if keep(item))) for card in cards]
    return tuple(card for card in thinned if card.items)
