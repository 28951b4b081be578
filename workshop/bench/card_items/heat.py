"""Heat and steam."""

from workshop.bench.card_items.electrical import insulation_hot
from workshop.bench.card_items.shared import timed
from workshop.bench.cards import Item, Unit
from workshop.core.templatetags.measures import number
from workshop.core.words import InstrumentKind, Kind
from workshop.trade.coffee import bands

WHY_READY = "A scaled or failing element gets ready late, long before it fails."


def heat_items(unit: Unit) -> tuple[Item, ...]:
    if unit.kind == Kind.GRINDER:
        return ()
    items = [_watts(), _ready(unit)]
    if unit.has_steam:
        items.append(_first_steam())
        if unit.kind in (Kind.SINGLE_BOILER, Kind.THERMOBLOCK, Kind.LEVER):
            items.append(_back_to_coffee())
    return (*items, _brew_water(), insulation_hot(unit))


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


def _first_steam() -> Item:
    how_to = "From ready: steam on, water out first, then dry."
    why = "A tired thermostat never gets to steam, and the buyer finds it with milk in hand."
    return timed("steam_ready", "Seconds to first dry steam", how_to, "s", why)


def _back_to_coffee() -> Item:
    return timed(
        "back_to_coffee",
        "Seconds back to coffee after steam",
        "Steam off, run water as the notes say, until it is at coffee heat again.",
        "s",
        "Steam left in the boiler burns the next coffee.",
    )


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
        why="A wandering thermostat tastes sour one shot and bitter the next.",
    )
