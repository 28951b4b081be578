"""The coffee path: pressure in a shot, what the valve, the button and the spouts do."""

from dataclasses import replace

from workshop.bench.card_items.shared import seen, timed
from workshop.bench.cards import Item, Unit
from workshop.core.words import InstrumentKind, Kind, Pump

CUPS = 3


def flow_items(unit: Unit) -> tuple[Item, ...]:
    if unit.kind == Kind.GRINDER:
        return ()
    items = []
    if unit.pump != Pump.NONE:
        items.append(_pressure_in_shot())
    if unit.gauge_words:
        items.append(_gauge_zone(unit))
    if unit.has_three_way_valve:
        items.append(_drip_stop())
    if unit.has_button:
        items.append(_button())
    return tuple(replace(item, full_only=True) for item in (*items, _spouts()))


def _pressure_in_shot() -> Item:
    return Item(
        "pressure_shot",
        "Pressure in a shot",
        "Coffee in. Read the gauge once it has settled, not at its first peak.",
        unit="bar",
        needs_mains=True,
        instrument=InstrumentKind.GAUGE,
        why="A pump that holds against a blind basket can still sag once water flows.",
    )


def _gauge_zone(unit: Unit) -> Item:
    return seen(
        "gauge_zone",
        "The machine's gauge in a shot",
        f"Coffee in. Once it has settled the needle stands from {unit.gauge_words}.",
        f"in its zone, {unit.gauge_words}"[:60],
        "outside its zone",
        needs_mains=True,
        why="A stuck or worn gauge leads its owner to the wrong grind for years.",
    )


def _drip_stop() -> Item:
    words = "Stop the shot: the valve lets go into the tray. Count until the group has stopped dripping."
    why = "A valve that sticks leaves the cake wet and lets the handle spray when it is opened."
    return timed("drip_stop", "Seconds until the group stops dripping", words, "s", why)


def _button() -> Item:
    return Item(
        "button_repeat",
        "Three cups from one button",
        "Same dose, same button, three times. Weigh each cup.",
        unit="g",
        needs_mains=True,
        instrument=InstrumentKind.SCALE,
        draws=tuple(f"Cup {at}" for at in range(1, CUPS + 1)),
        why="A flow meter clogged with scale fills each cup differently.",
    )


def _spouts() -> Item:
    return Item(
        "spout_balance",
        "Two spouts, two cups",
        "Machine level. One shot into two cups. Weigh both.",
        unit="g",
        needs_mains=True,
        instrument=InstrumentKind.SCALE,
        draws=("Left cup", "Right cup"),
        why="A spout half shut with old coffee or a bent handle gives one full cup and one short.",
    )
