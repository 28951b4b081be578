"""Heat: the element, the time to ready, the brewing water and the tap."""

from workshop.bench.card_items.shared import timed
from workshop.bench.cards import Item, Unit
from workshop.core.templatetags.measures import number
from workshop.core.words import InstrumentKind, Kind
from workshop.trade.coffee import bands

DRAWS = 5  # as the spread of 5 shots is published (C-16)


def heat_items(unit: Unit) -> tuple[Item, ...]:
    if unit.kind == Kind.GRINDER:
        return ()
    items = [_watts(), _ready(unit), _brew_water()]
    return (*items, _hot_water()) if unit.has_hot_water else tuple(items)


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
    return timed("ready", "Minutes to ready", f"From cold, handle locked in, until the ready sign.{words}", "min")


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
    )
