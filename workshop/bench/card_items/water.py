"""Water and pressure."""

from workshop.bench.card_items.shared import seen
from workshop.bench.cards import Item, Unit
from workshop.core.words import InstrumentKind, Kind, Pump


def water_items(unit: Unit) -> tuple[Item, ...]:
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
        why="A joint that holds cold opens when hot, and drips on what is live.",
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
