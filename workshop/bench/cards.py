"""The cards of Prove as data: what is read or seen, in which order, and what each item wants first.

Check-list rules: a reading beats a tick, stop items first, five to nine items a card, limits shown before typing.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from django.utils.text import slugify

from workshop.core.models import Machine, ModelNotes
from workshop.core.templatetags.measures import measure, number
from workshop.core.words import InstrumentKind, Kind, Pump
from workshop.trade.coffee import bands
from workshop.trade.safety.electrical import (
    Appliance,
    ApplianceClass,
    Measure,
    Profile,
    fuse_rating_a,
    needs_leakage,
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


def cards_for(unit: Unit) -> tuple[Card, ...]:
    """Return every card of this machine with every item it can have, short set and full set."""
    water, heat = _water(unit), _heat(unit)
    cards = [
        Card("safe-to-power", "Safe to power", Way.READ_DO, _safe_to_power(unit)),
        Card("before-lid", "Before the lid", Way.DO_CONFIRM, _before_lid(unit)),
        Card("water", "Water and pressure", Way.READ_DO, water),
        Card("heat", "Heat", Way.READ_DO, heat),
    ]
    return tuple(card for card in cards if card.items)


# --- safe to power ---------------------------------------------------------------------------------------


def seen(
    code: str,
    title: str,
    how_to: str,
    good: str,
    bad: str,
    *,
    stop: bool = False,
    needs_mains: bool = False,
    case_sensitive: bool = False,
) -> Item:
    """Return an item that is seen: its good answer first. Each is the button's word and what it prints."""
    answers = (
        Answer("good", good.split(",")[0].capitalize(), good, True),
        Answer("bad", bad.split(",")[0].capitalize(), bad, False),
    )
    return Item(
        code,
        title,
        how_to,
        ItemKind.SEEN,
        answers=answers,
        stop=stop,
        needs_mains=needs_mains,
        case_sensitive=case_sensitive,
    )


def _safe_to_power(unit: Unit) -> tuple[Item, ...]:
    look = seen(
        "visual",
        "Plug, fuse, cord and case",
        "Unplugged. Look at pins, fuse, cord along its length, strain relief, case and plate.",
        "right, undamaged",
        "not right",
        stop=True,
        case_sensitive=True,
    )
    shut = seen(
        "case_shut",
        "Case shut, all screws in",
        "Count the screws. Nothing is left over on the bench.",
        "shut, all screws in",
        "not shut",
        stop=True,
        case_sensitive=True,
    )
    items = [look, shut]
    if unit.appliance.is_class_i:
        items.append(_earth())
    items.append(_insulation(unit))
    if needs_leakage(unit.profile, unit.test_volts, unit.appliance):
        items.append(_leakage(unit))
    return tuple(items)


def _earth() -> Item:
    return Item(
        "earth",
        "Earth path, plug to metal",
        "Unplugged. Earth pin to bare metal. Wiggle the cord while you read.",
        unit=Measure.EARTH_OHM.unit,
        stop=True,
        case_sensitive=True,
        instrument=InstrumentKind.EARTH,
        measure=Measure.EARTH_OHM,
    )


def _insulation(unit: Unit) -> Item:
    gentle = " Surge parts trip at 500 V: use 250 V." if unit.appliance.has_surge_parts else ""
    return Item(
        "insulation",
        f"Insulation at {unit.test_volts} V",
        f"Unplugged, switch on. Live and neutral joined, against earth and metal.{gentle}",
        unit=Measure.INSULATION_MOHM.unit,
        stop=True,
        case_sensitive=True,
        instrument=InstrumentKind.INSULATION,
        measure=Measure.INSULATION_MOHM,
    )


def _leakage(unit: Unit) -> Item:
    has_leakage = unit.profile.limit(Measure.LEAKAGE_MA, unit.appliance) is not None
    measured = Measure.LEAKAGE_MA if has_leakage else Measure.TOUCH_MA
    return Item(
        "leakage" if has_leakage else "touch",
        measured.label,
        "Mains is on: keep hands off. Use an RCD. Where the law asks for a licensed person, let one do it.",
        unit=measured.unit,
        stop=True,
        needs_mains=True,
        case_sensitive=True,
        instrument=InstrumentKind.LEAKAGE,
        measure=measured,
    )


# --- before the lid --------------------------------------------------------------------------------------


def _before_lid(unit: Unit) -> tuple[Item, ...]:
    parts = [
        seen(
            part.code,
            f"{part.name}, {part.rating}" if part.rating else part.name,
            "Put a finger on it. Read its rating. Follow both wires: nothing bridges it.",
            "right, present, not bridged",
            "wrong, missing or bridged",
            stop=True,
        )
        for part in unit.parts
    ]
    return (*(parts or [_all_parts()]), *_plate(unit))


def _all_parts() -> Item:
    return seen(
        "safety_parts",
        "Cut-outs and safety valves",
        "The model notes list none. Find every one, touch it, read its rating, then add it to the notes.",
        "right, all present, none bridged",
        "wrong, missing or bridged",
        stop=True,
    )


def _plate(unit: Unit) -> tuple[Item, ...]:
    volts = f"We have {unit.volts} V. " if unit.volts else ""
    plate = seen(
        "plate_volts",
        "Plate volts for this place",
        f"{volts}Read the plate on the machine itself.",
        "right for this place",
        "wrong for this place",
        stop=True,
    )
    plug = seen(
        "plug_fits",
        "Plug and fuse for this place",
        f"{_fuse_words(unit)}The plug is the one used here, not an adapter.",
        "right, both fit",
        "wrong, do not fit",
        stop=True,
    )
    return plate, plug


def _fuse_words(unit: Unit) -> str:
    if not (unit.place_has_fused_plugs and unit.watts):
        return ""
    try:
        return f"{measure(unit.watts, 'W')} wants a {fuse_rating_a(Decimal(unit.watts))} A fuse. "
    except ValueError:
        return "Too strong for a fused plug here: ask a licensed electrician. "


# --- water and pressure ----------------------------------------------------------------------------------


def _water(unit: Unit) -> tuple[Item, ...]:
    if unit.kind == Kind.GRINDER:
        return ()
    pumped = unit.pump != Pump.NONE
    items = [_leak_hot()]
    if pumped:
        items += [_relief(), _pressure()]
    items.append(_drip_cold())
    if pumped:
        items.append(_debit())
    return tuple(items)


def _leak_hot() -> Item:
    return seen(
        "leak_hot",
        "Leak after 30 minutes hot",
        "Case shut, hot for 30 minutes. Look under it, at the group and at the valves.",
        "none seen",
        "drips",
        stop=True,
        needs_mains=True,
        case_sensitive=True,
    )


def _drip_cold() -> Item:
    return seen(
        "drip_cold",
        "Drip when it stands cold",
        "Tank full, cold, left to stand. Look under it and at the group.",
        "none seen",
        "drips",
        stop=True,
        case_sensitive=True,
    )


def _relief() -> Item:
    return seen(
        "relief",
        "Relief valve lets go into the tray",
        "Blind basket in, pump on. Watch the drain: it must let go and shut again.",
        "let go, shut again",
        "did not let go",
        needs_mains=True,
    )


def _pressure() -> Item:
    return Item(
        "pressure",
        "Pressure at the group",
        "Blind basket in. Pump on, read after 10 seconds, pump off.",
        unit="bar",
        needs_mains=True,
        instrument=InstrumentKind.GAUGE,
    )


def _debit() -> Item:
    return Item(
        "debit",
        "Water through the empty group",
        "No handle in. Pump on for 10 seconds into a jug, then weigh it: 1 g is 1 ml.",
        unit="ml",
        needs_mains=True,
        instrument=InstrumentKind.SCALE,
        full_only=True,
    )


# --- heat ------------------------------------------------------------------------------------------------


def _heat(unit: Unit) -> tuple[Item, ...]:
    if unit.kind == Kind.GRINDER:
        return ()
    items = [_watts(), _ready(unit)]
    if unit.has_steam:
        items.append(_first_steam())
        if unit.kind in (Kind.SINGLE_BOILER, Kind.THERMOBLOCK, Kind.LEVER):
            items.append(_back_to_coffee())
    return (*items, _brew_water())


def _watts() -> Item:
    return Item(
        "watts_heating",
        "Watts while heating",
        "Plug-in meter, pump off. A half-dead element shows here.",
        unit="W",
        needs_mains=True,
        instrument=InstrumentKind.WATT,
    )


def _ready(unit: Unit) -> Item:
    usual = bands.warm_up_min(unit.kind)
    words = f" Usual for its kind: {number(usual[0])} to {number(usual[1])} min." if usual else ""
    return _timed("ready", "Minutes to ready", f"From cold, handle locked in, until the ready sign.{words}", "min")


def _first_steam() -> Item:
    return _timed("steam_ready", "Seconds to first dry steam", "From ready: steam on, water out first, then dry.", "s")


def _back_to_coffee() -> Item:
    return _timed(
        "back_to_coffee",
        "Seconds back to coffee after steam",
        "Steam off, run water as the notes say, until it is at coffee heat again.",
        "s",
    )


def _timed(code: str, title: str, how_to: str, unit: str) -> Item:
    return Item(code, title, how_to, unit=unit, needs_mains=True, instrument=InstrumentKind.TIMER)


def _brew_water() -> Item:
    return Item(
        "brew_water",
        "Brewing water, five shots",
        "Five draws of water, one a minute. Keep the lowest and the highest.",
        unit="°C",
        needs_mains=True,
        instrument=InstrumentKind.THERMOMETER,
        series=True,
        full_only=True,
    )


# --- which items are asked -------------------------------------------------------------------------------


def asked(cards: tuple[Card, ...], owned: frozenset[str], *, full: bool) -> tuple[Card, ...]:
    """Return the cards with the items of the set only: stop items always, others where the instrument is owned."""
    return _kept(cards, lambda item: item.stop or ((full or not item.full_only) and _can(item, owned)))


def not_owned(cards: tuple[Card, ...], owned: frozenset[str]) -> list[Item]:
    """Return the items that are not asked because the workshop lacks the instrument, short set and full set."""
    return [item for card in cards for item in card.items if not item.stop and not _can(item, owned)]


def _can(item: Item, owned: frozenset[str]) -> bool:
    return item.instrument is None or item.instrument.value in owned


def _kept(cards: tuple[Card, ...], keep: Callable[[Item], bool]) -> tuple[Card, ...]:
    thinned = [replace(card, items=tuple(item for item in card.items if keep(item))) for card in cards]
    return tuple(card for card in thinned if card.items)
