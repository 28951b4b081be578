"""Steam: the seconds to the first, the way back to coffee, and the power into a jug."""

from workshop.bench.card_items.shared import timed
from workshop.bench.cards import Box, Item, Unit
from workshop.core.words import InstrumentKind, Kind
from workshop.trade.coffee.heat import Liquid

BACK_TO_COFFEE = (Kind.SINGLE_BOILER, Kind.THERMOBLOCK, Kind.LEVER)  # one boiler or block for both heats
STEAM_POWER = "steam_power"


def steam_items(unit: Unit) -> tuple[Item, ...]:
    if unit.kind == Kind.GRINDER or not unit.has_steam:
        return ()
    back = [_back_to_coffee()] if unit.kind in BACK_TO_COFFEE else []
    return (_first_steam(), *back, _power())


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


def _power() -> Item:
    return Item(
        STEAM_POWER,
        "Steam power into the jug",
        "Weigh cold water or milk into a jug. Purge, then steam to about 60 °C. Time it.",
        unit="W",
        needs_mains=True,
        instrument=InstrumentKind.THERMOMETER,
        also=(InstrumentKind.SCALE, InstrumentKind.TIMER),
        inputs=(
            Box("liquid", "In the jug", choices=((Liquid.WATER.value, "Water"), (Liquid.MILK.value, "Milk"))),
            Box("grams", "Weight in the jug", "g"),
            Box("start_c", "Start", "°C"),
            Box("end_c", "End", "°C"),
            Box("time_s", "Steam on for", "s"),
        ),
        full_only=True,
        why="A scaled wand or a weak element still hisses, and never gets a jug hot.",
    )
