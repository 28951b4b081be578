"""Water and pressure."""

from dataclasses import replace

from workshop.bench.card_items.shared import seen
from workshop.bench.cards import Item, Rest, Unit
from workshop.core.words import InstrumentKind, Kind, Pump
from workshop.trade.coffee.sources import FULLY_COLD_MIN

FIRST_CYCLE, SECOND_CYCLE = "heat_cycle_1", "heat_cycle_2"


def water_items(unit: Unit) -> tuple[Item, ...]:
    """Stop items first; after work on boiler, pump or wiring two heat cycles come before the leak reading."""
    if unit.kind == Kind.GRINDER:
        return ()
    cycles = (_first_cycle(), _second_cycle()) if unit.deep else ()
    stop = (*cycles, _leak_hot(after=tuple(item.code for item in cycles)), _drip_cold())
    pumped = (_relief(), _pressure(), _watts_pumping(), _debit()) if unit.pump != Pump.NONE else ()
    return stop + pumped


def _first_cycle() -> Item:
    words = "Dry paper under it. Heat it until ready, switch it off, look. Then let it stand until fully cold."
    return _cycle(FIRST_CYCLE, "First heat cycle, dry paper under", words)


def _second_cycle() -> Item:
    words = "Fully cold: touch it. New dry paper under. Heat it until ready, switch it off, look."
    rest = Rest(FIRST_CYCLE, FULLY_COLD_MIN.value, "Fully cold")
    item = _cycle(SECOND_CYCLE, "Second heat cycle, from fully cold", words)
    return replace(item, after=(FIRST_CYCLE,), rest=rest)


def _cycle(code: str, title: str, how_to: str) -> Item:
    return seen(
        code,
        title,
        how_to,
        "dry, paper dry",
        "wet, paper wet",
        stop=True,
        needs_mains=True,
        case_sensitive=True,
        why="A joint opened for work holds while it is hot, and weeps once it has cooled and warmed.",
    )


def _leak_hot(after: tuple[str, ...]) -> Item:
    item = seen(
        "leak_hot",
        "Leak after 30 minutes hot",
        "Case shut, hot for 30 minutes. Look under it, at the group and at the valves.",
        "none seen",
        "drips",
        stop=True,
        needs_mains=True,
        case_sensitive=True,
        why="A joint that holds cold opens when hot, and drips on what is live.",
    )
    return replace(item, after=after)


def _drip_cold() -> Item:
    return seen(
        "drip_cold",
        "Drip when it stands cold",
        "Tank full, cold, left to stand. Look under it and at the group.",
        "none seen",
        "drips",
        stop=True,
        case_sensitive=True,
        why="A slow drip shows only overnight, and then in the buyer's kitchen.",
    )


def _relief() -> Item:
    return seen(
        "relief",
        "Relief valve lets go into the tray",
        "Blind basket in, pump on. Watch the drain: it must let go and shut again.",
        "let go, shut again",
        "did not let go",
        needs_mains=True,
        why="A stuck relief valve lets the pump press until a hose bursts.",
    )


def _pressure() -> Item:
    return Item(
        "pressure",
        "Pressure at the group",
        "Blind basket in. Pump on, read after 10 seconds, pump off.",
        unit="bar",
        needs_mains=True,
        instrument=InstrumentKind.GAUGE,
        why="A worn pump or a mis-set valve makes thin coffee at any grind.",
    )


def _watts_pumping() -> Item:
    return Item(
        "watts_pumping",
        "Watts when pumping",
        "Plug-in meter. Hot, so that it does not heat. Blind basket in, pump on for 10 seconds.",
        unit="W",
        needs_mains=True,
        instrument=InstrumentKind.WATT,
        full_only=True,
        why="A worn or dry-running pump shows in its watts before it gives up.",
    )


def _debit() -> Item:
    return Item(
        "debit",
        "Water through the empty group",
        "No handle in. Pump on for 10 seconds into a jug, then weigh it: 1 g is 1 ml.",
        unit="ml",
        needs_mains=True,
        instrument=InstrumentKind.SCALE,
        why="A path half shut with scale still pours, only slower.",
        full_only=True,
    )
