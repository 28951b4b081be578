"""Heat: the element, the time to ready, the brewing water and the tap."""

from workshop.bench.card_items.shared import timed
from workshop.bench.cards import Item, Unit
from workshop.core.templatetags.measures import number
from workshop.core.words import InstrumentKind, Kind
from workshop.trade.coffee import bands

DRAWS = 5  # as the spread of 5 shots is published (C-16)
WHY_READY = "A scaled or failing element gets ready late, long before it fails."


def heat_items(unit: Unit) -> tuple[Item, ...]:
    if unit.kind == Kind.GRINDER:
        return ()
    tap = (_hot_water(),) if unit.has_hot_water else ()
    return (_watts(), _ready(unit), _brew_water(), *tap)


def _watts() -> Item:
    return Item(
        "watts_heating",
        "Watts while heating",
        "Plug-in meter, pump off. A half-dead element shows here.",
        unit="W",
        needs_mains=True,
        instrument=InstrumentKind.WATT,
        why="A half-dead element still heats, and takes twice as long.",
    )


def _ready(unit: Unit) -> Item:
    usual = bands.warm_up_min(unit.kind)
    words = f" Usual for its kind: {number(usual[0])} to {number(usual[1])} min." if usual else ""
    how_to = f"From cold, handle locked in, until the ready sign.{words}"
    return timed("ready", "Minutes to ready", how_to, "min", WHY_READY)


def _brew_water() -> Item:
    return Item(
        "brew_water",
        "Brewing water, five shots",
        "Five draws of water through the group, one a minute. Read each.",
        unit="°C",
        needs_mains=True,
        instrument=InstrumentKind.THERMOMETER,
        draws=tuple(f"Draw {at}" for at in range(1, DRAWS + 1)),
        full_only=True,
        why="A wandering thermostat tastes sour one shot and bitter the next.",
    )


def _hot_water() -> Item:
    return Item(
        "hot_water",
        "Hot water at the tap",
        "At ready: run a cup off, then read the next in the cup at once.",
        unit="°C",
        needs_mains=True,
        instrument=InstrumentKind.THERMOMETER,
        full_only=True,
        why="A tap that runs lukewarm is a tired thermostat or a mixing valve that sticks.",
    )
