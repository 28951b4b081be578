"""Heat at the bench: the element against its plate, the steam's net power, and boiler heat from its gauge.

Watts, volts, ohms, amperes, grams, seconds and °C. Steam, boilers and mains hurt: these sums replace no test
and no licensed person.
"""

from decimal import Decimal
from enum import StrEnum
from math import sqrt

from workshop.trade.coffee.sources import (
    ATMOSPHERE_BAR,
    CONDENSING_KJ_KG,
    MILK_HEAT_KJ_KG_K,
    WATER_HEAT_KJ_KG_K,
)

# IAPWS R7-97 region 4, table 34, n1 to n10 (source C-09).
SATURATION = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)
HIGHEST_GAUGE_BAR = Decimal(25)  # far above any boiler here; a larger number is another unit (psi, kPa)
ZERO_C_IN_K = 273.15
BAR_PER_MPA = 10


class Liquid(StrEnum):
    """What stood in the jug."""

    MILK = "milk"
    WATER = "water"


HEAT_KJ_KG_K = {Liquid.MILK: MILK_HEAT_KJ_KG_K.value, Liquid.WATER: WATER_HEAT_KJ_KG_K.value}


def element_resistance_ohm(watts: Decimal, volts: Decimal) -> Decimal:
    """What an element of this plate should read cold, in ohm: volts squared over watts (source C-11)."""
    _above_nothing(watts=watts, volts=volts)
    return volts * volts / watts


def element_current_a(watts: Decimal, volts: Decimal) -> Decimal:
    """What an element of this plate draws, in ampere (source C-11)."""
    _above_nothing(watts=watts, volts=volts)
    return watts / volts


def warming_kj(grams: Decimal, start_c: Decimal, end_c: Decimal, liquid: Liquid = Liquid.MILK) -> Decimal:
    """Heat taken up by the jug's contents, in kJ (source C-10). ValueError unless it got warmer."""
    _above_nothing(grams=grams)
    if not start_c < end_c:
        raise ValueError("The jug must end warmer than it began.")
    return grams / 1000 * HEAT_KJ_KG_K[liquid] * (end_c - start_c)


def net_steam_watts(
    grams: Decimal, start_c: Decimal, end_c: Decimal, time_s: Decimal, liquid: Liquid = Liquid.MILK
) -> Decimal:
    """Net steam power into the jug, in watts; what the jug and the room took is not in it."""
    _above_nothing(time=time_s)
    return 1000 * warming_kj(grams, start_c, end_c, liquid) / time_s


def condensate_g(grams: Decimal, start_c: Decimal, end_c: Decimal, liquid: Liquid = Liquid.MILK) -> Decimal:
    """Grams of steam that turn to water in the jug on the way (dry steam near 120 °C, ending near 60 °C)."""
    return 1000 * warming_kj(grams, start_c, end_c, liquid) / CONDENSING_KJ_KG.value


def saturation_temp_c(gauge_bar: Decimal) -> Decimal:
    """Temperature of boiling water at a boiler's gauge pressure, °C to one decimal (source C-09).

    Sea-level air is taken as 1.01325 bar, and the boiler as purged of air: false pressure makes this too hot.
    ValueError below nothing or above 25 bar.
    """
    if not 0 <= gauge_bar <= HIGHEST_GAUGE_BAR:
        raise ValueError("Boiler gauge pressure is written in bar, from 0 to 25.")
    kelvin = _saturation_k(float(gauge_bar + ATMOSPHERE_BAR.value) / BAR_PER_MPA)
    return Decimal(str(round(kelvin - ZERO_C_IN_K, 1)))


def _saturation_k(pressure_mpa: float) -> float:
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = SATURATION
    beta = sqrt(sqrt(pressure_mpa))
    e = beta * beta + n3 * beta + n6
    f = n1 * beta * beta + n4 * beta + n7
    g = n2 * beta * beta + n5 * beta + n8
    d = 2 * g / (-f - sqrt(f * f - 4 * e * g))
    return (n10 + d - sqrt((n10 + d) ** 2 - 4 * (n9 + n10 * d))) / 2


def _above_nothing(**measures: Decimal) -> None:
    for name, value in measures.items():
        if not value > 0:
            raise ValueError(f"The {name} must be more than nothing.")
