"""Safe to power: look, earth, insulation, leakage."""

from workshop.bench.card_items.shared import seen
from workshop.bench.cards import Item, Unit
from workshop.core.words import InstrumentKind
from workshop.trade.safety.electrical import (
    Measure,
    needs_leakage,
)


def safe_to_power_items(unit: Unit) -> tuple[Item, ...]:
    look = seen(
        "visual",
        "Plug, fuse, cord and case",
        "Unplugged. Look at pins, fuse, cord along its length, strain relief, case and plate.",
        "right, undamaged",
        "not right",
        stop=True,
        case_sensitive=True,
        mains_side=True,
        why="A chafed cord or a loose clamp gives a shock that no meter saw coming.",
    )
    shut = seen(
        "case_shut",
        "Case shut, all screws in",
        "Count the screws. Nothing is left over on the bench.",
        "shut, all screws in",
        "not shut",
        stop=True,
        case_sensitive=True,
        shuts_case=True,
        why="A panel left loose touches live parts, and a screw left inside shorts them.",
    )
    items = [shut, look]
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
        mains_side=True,
        why="A broken earth wire makes the whole case live at the next fault.",
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
        mains_side=True,
        why="A wet or cracked element leaks to the case and trips the house.",
    )


def insulation_hot(unit: Unit) -> Item:
    """Insulation again while the boiler is hot and wet. Common practice, no source."""
    return Item(
        "insulation_hot",
        f"Insulation at {unit.test_volts} V, hot",
        "Hot for 30 minutes, then unplugged at once. Switch on. Live and neutral joined, against earth and metal.",
        unit=Measure.INSULATION_MOHM.unit,
        stop=True,
        case_sensitive=True,
        instrument=InstrumentKind.INSULATION,
        measure=Measure.INSULATION_MOHM,
        heated=True,
        full_only=True,
        why="An element that leaks only when hot and wet passes cold, and trips the buyer's house.",
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
        mains_side=True,
        why="A weak part can hide from 250 V and leak at full mains.",
    )
