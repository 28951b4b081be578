"""What is asked about before it is recorded: values that can be, but where a slip of the finger is likelier.

The bands are house policy (workshop/trade/coffee/sources.py). Nothing here refuses: a second press records.
"""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from workshop.bench.cards import Item, Unit
from workshop.bench.limits import Usual
from workshop.bench.models import Shot
from workshop.core.templatetags.measures import NBSP, measure, number
from workshop.trade.coffee import sources
from workshop.trade.coffee.sources import ODD_RATIO_HIGH, ODD_RATIO_LOW

TIMED = ("ready", "steam_ready", "back_to_coffee")
PRESSURES = ("pressure", "pressure_shot")
WATERS = {"brew_water": "water for coffee", "hot_water": "hot water"}
# Steam may be as weak as it likes, that is what the test is for; a pump or an element hardly shows so little.
_LOW = dict.fromkeys(("watts_heating", "watts_pumping"), sources.ODD_WATTS_LOW_SHARE.value)
_MUCH = sources.ODD_WATTS_HIGH_SHARE.value


def reading(item: Item, unit: Unit, values: list[Decimal], usual: Usual | None) -> str:
    """Return the question about what an instrument shows, or nothing where it is no surprise.

    `values`: what was read, one or a whole series. `usual`: what this model lets through in 10 s.
    """
    shown = " to ".join(number(value) for value in sorted({min(values), max(values)})) + f"{NBSP}{item.unit}"
    rated = _rated(item, unit)
    if rated is not None and _outside(values, _LOW.get(item.code, Decimal(0)) * rated[0], _MUCH * rated[0]):
        return f"{shown} is far from the {measure(rated[0], 'W')} {rated[1]}."
    if item.code == "debit" and usual:
        low, high = usual.ml * sources.ODD_WATER_LOW_SHARE.value, usual.ml * sources.ODD_WATER_HIGH_SHARE.value
        if _outside(values, low, high):
            return f"{shown} is far from the usual {measure(round(usual.ml), 'ml')} of this model."
    if item.code in PRESSURES and _outside(values, None, sources.ODD_PRESSURE_BAR.value):
        return f"{shown} is more than a home pump gives."
    if item.code in WATERS and _outside(values, sources.ODD_BREW_LOW_C.value, sources.ODD_BREW_HIGH_C.value):
        return f"{shown} is hardly {WATERS[item.code]}."
    return f"{shown} is no time at all." if item.code in TIMED and values[0] == 0 else ""


def jug(inputs: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Return the questions about a steam test's boxes, each with the box it stands beside."""
    return [
        (f"{measure(inputs[name], unit)} {words}.", name)
        for name, unit, low, high, words in _JUG
        if _outside([inputs[name]], low, high)
    ]


_JUG = (
    ("grams", "g", sources.ODD_JUG_LOW_G.value, sources.ODD_JUG_HIGH_G.value, "is hardly what a jug holds"),
    ("start_c", "°C", None, sources.ODD_JUG_START_C.value, "is warm for a jug before the steam"),
    ("end_c", "°C", sources.ODD_JUG_END_LOW_C.value, sources.ODD_JUG_END_HIGH_C.value, "is far from about 60\u00a0°C"),
    ("time_s", "s", sources.ODD_STEAM_LOW_S.value, sources.ODD_STEAM_HIGH_S.value, "is hardly the time of a jug"),
)


def _rated(item: Item, unit: Unit) -> tuple[Decimal, str] | None:
    """Return the watts an item is held against, and where they stand."""
    watts, where = {
        "watts_heating": (unit.watts, "on the plate"),
        "watts_pumping": (unit.pump_watts, "of the pump"),
        "steam_power": (unit.steam_rating_w, "the steam is rated at"),
    }.get(item.code, (None, ""))
    return (Decimal(watts), where) if watts else None


def shot(pulled: Shot, reference_g: Decimal) -> list[tuple[str, str]]:
    """Return the questions about a shot, each with the box it stands beside. A choked shot has no ratio."""
    low, high = reference_g * sources.ODD_DOSE_LOW_SHARE.value, reference_g * sources.ODD_DOSE_HIGH_SHARE.value
    dose_g, yield_g, asked = pulled.dose_g, pulled.yield_g, []
    if _outside([dose_g], low, high):
        asked.append((f"{measure(dose_g, 'g')} is far from the {measure(reference_g, 'g')} it takes.", "dose_g"))
    elif yield_g and _outside([yield_g / dose_g], ODD_RATIO_LOW.value, ODD_RATIO_HIGH.value):
        ratio = number(round(yield_g / dose_g, 1))
        words = f"{measure(yield_g, 'g')} from {measure(dose_g, 'g')} is 1 : {ratio}, hardly a coffee."
        asked.append((words, "yield_g"))
    if _outside([pulled.time_s], sources.ODD_SHOT_LOW_S.value, sources.ODD_SHOT_HIGH_S.value):
        asked.append((f"{measure(pulled.time_s, 's')} is hardly the time of a coffee.", "time_s"))
    tds = pulled.tds_percent
    if tds is not None and _outside([tds], sources.ODD_TDS_LOW_PERCENT.value, sources.ODD_TDS_HIGH_PERCENT.value):
        asked.append((f"{measure(tds, '%')} is hardly the strength of an espresso.", "tds_percent"))
    if pulled.gauge_bar is not None and _outside([pulled.gauge_bar], None, sources.ODD_PRESSURE_BAR.value):
        asked.append((f"{measure(pulled.gauge_bar, 'bar')} is more than a home pump gives.", "gauge_bar"))
    return asked


def dose(dose_g: Decimal, reference_g: Decimal) -> str:
    """Return the question about a weighed dose, or nothing. A short one is no surprise: trials are short and long."""
    high = reference_g * sources.ODD_DOSE_HIGH_SHARE.value
    return (
        f"{measure(dose_g, 'g')} is far from the {measure(reference_g, 'g')} this machine takes."
        if dose_g > high
        else ""
    )


def delivered(delivered_g: Decimal, dose_g: Decimal) -> str:
    """Return the question about what a button gave with coffee in the basket, or nothing."""
    if _outside([delivered_g / dose_g], ODD_RATIO_LOW.value, ODD_RATIO_HIGH.value):
        return f"{measure(delivered_g, 'g')} from {measure(dose_g, 'g')} is hardly a coffee."
    return ""


def _outside(values: list[Decimal], low: Decimal | None, high: Decimal) -> bool:
    return any((low is not None and value < low) or value > high for value in values)
