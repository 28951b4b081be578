"""How much scale a litre of water leaves when heated, and how long until it is time to descale.

All concentrations are mg/L as calcium carbonate, of the water after any filter (see filters.py).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from math import log10

from workshop.trade.water.limits import must_be_number, must_be_positive
from workshop.trade.water.saturation import temp_factor
from workshop.trade.water.sources import (
    CAP_DAYS,
    FLOOR_BREW_MG_L,
    FLOOR_STEAM_MG_L,
    LIMIT_G,
    PROMPT_G,
)

__all__ = [
    "CAP_DAYS",
    "LIMIT_G",
    "PROMPT_G",
    "DescaleInterval",
    "Draw",
    "closed_form_mg_per_l",
    "deposit_g",
    "descale_interval",
    "scale_mg_per_l",
    "upper_bound_mg_per_l",
]

_TENTH = Decimal("0.1")
# 39.61 of the printed form less the 34.55 that `temp_factor` carries.
_FORM_CONSTANT = 39.61 - 34.55
_BREW_C, _STEAM_C = Decimal(93), Decimal(125)  # the temperatures the two floors were computed at


@dataclass(frozen=True, slots=True)
class Draw:
    """Water drawn from one path: litres at a temperature, or, with `temp_c` None, litres gone as steam."""

    litres: Decimal
    temp_c: Decimal | None


@dataclass(frozen=True, slots=True)
class DescaleInterval:
    """When to descale: after so many litres or days, whichever comes first.

    `capped` says that the calendar ended it, not the scale. `worst_case_litres` is how soon it would be if
    all the temporary hardness came out; None for a water that has none.
    """

    litres: Decimal
    days: int
    scale_mg_per_l: Decimal
    capped: bool
    worst_case_litres: Decimal | None


def upper_bound_mg_per_l(hardness_mg_l: Decimal, alkalinity_mg_l: Decimal) -> Decimal:
    """The temporary hardness, all that heat can ever drop, in mg/L. ValueError if below nought."""
    must_be_number(hardness_mg_l, "hardness")
    must_be_number(alkalinity_mg_l, "alkalinity")
    return min(hardness_mg_l, alkalinity_mg_l)


def closed_form_mg_per_l(hardness_mg_l: Decimal, alkalinity_mg_l: Decimal, temp_c: Decimal) -> Decimal:
    """Scale in mg/L, to a tenth, by the closed form alone; nought where it finds none. Source W-05.

    Solves 0.9 log(H - x) + 2.465 log(A - x) = 39.61 - 13.12 log(t + 273) for x by bisection. Checked against
    its printed tables at 95 and 125 C. ValueError for a value below nought or outside 0 to 150 C.
    """
    bound = upper_bound_mg_per_l(hardness_mg_l, alkalinity_mg_l)
    saturated = _FORM_CONSTANT + temp_factor(temp_c)
    hardness, alkalinity = float(hardness_mg_l), float(alkalinity_mg_l)
    low, high = 0.0, float(bound)
    for _ in range(60):
        middle = (low + high) / 2
        if _strength(hardness - middle, alkalinity - middle) > saturated:
            low = middle
        else:
            high = middle
    return Decimal(low).quantize(_TENTH)


def _strength(hardness: float, alkalinity: float) -> float:
    if hardness <= 0 or alkalinity <= 0:
        return float("-inf")
    return 0.9 * log10(hardness) + 2.465 * log10(alkalinity)


def scale_mg_per_l(hardness_mg_l: Decimal, alkalinity_mg_l: Decimal, temp_c: Decimal) -> Decimal:
    """Scale to reckon with, in mg/L to a tenth: the closed form, but never under the floor. W-05, W-06.

    In soft water of low alkalinity the form reads up to 10 mg/L below PHREEQC, so a floor holds: 7 mg/L at
    93 C rising to 17 at 125 C, or the whole temporary hardness where that is less. Same refusals as the form.
    """
    form = closed_form_mg_per_l(hardness_mg_l, alkalinity_mg_l, temp_c)
    bound = upper_bound_mg_per_l(hardness_mg_l, alkalinity_mg_l)
    return max(form, min(bound, _floor_mg_per_l(temp_c))).quantize(_TENTH)


def _floor_mg_per_l(temp_c: Decimal) -> Decimal:
    share = (min(max(temp_c, _BREW_C), _STEAM_C) - _BREW_C) / (_STEAM_C - _BREW_C)
    return FLOOR_BREW_MG_L.value + share * (FLOOR_STEAM_MG_L.value - FLOOR_BREW_MG_L.value)


def deposit_g(*, hardness_mg_l: Decimal, alkalinity_mg_l: Decimal, draws: Iterable[Draw]) -> Decimal:
    """Grams of scale left by several draws; what leaves as steam leaves all its temporary hardness."""
    total_mg = Decimal(0)
    for draw in draws:
        must_be_number(draw.litres, "water drawn")
        if draw.temp_c is None:
            total_mg += draw.litres * upper_bound_mg_per_l(hardness_mg_l, alkalinity_mg_l)
        else:
            total_mg += draw.litres * scale_mg_per_l(hardness_mg_l, alkalinity_mg_l, draw.temp_c)
    return total_mg / 1000


def descale_interval(
    *,
    hardness_mg_l: Decimal,
    alkalinity_mg_l: Decimal,
    temp_c: Decimal,
    litres_per_day: Decimal,
    limit_g: Decimal = PROMPT_G.value,
    cap_days: int = int(CAP_DAYS.value),
) -> DescaleInterval:
    """Litres and whole days until `limit_g` of scale, or until the calendar cap if that comes first.

    All scale is taken to stay in the machine. The default 2.5 g is when to ask for it; 5 g (`LIMIT_G`) is the
    most (source W-05). The cap is common practice. Never under one day. ValueError as `scale_mg_per_l`.
    """
    must_be_positive(litres_per_day, "water used in a day")
    must_be_positive(limit_g, "scale limit in grams")
    must_be_positive(Decimal(cap_days), "calendar cap in days")
    scale = scale_mg_per_l(hardness_mg_l, alkalinity_mg_l, temp_c)
    worst = _litres_to(limit_g, upper_bound_mg_per_l(hardness_mg_l, alkalinity_mg_l))
    cap_litres = (cap_days * litres_per_day).quantize(_TENTH, ROUND_FLOOR)
    litres = _litres_to(limit_g, scale)
    if litres is None or litres >= cap_days * litres_per_day:
        return DescaleInterval(cap_litres, cap_days, scale, True, worst)
    days = max(1, int(litres / litres_per_day))
    return DescaleInterval(litres, days, scale, False, worst)


def _litres_to(limit_g: Decimal, mg_per_l: Decimal) -> Decimal | None:
    if mg_per_l == 0:
        return None
    return (1000 * limit_g / mg_per_l).quantize(_TENTH, ROUND_FLOOR)
