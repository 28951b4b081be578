"""Ratio, flow and extraction yield of one weighed shot. All results are unrounded Decimal."""

from decimal import Decimal


def ratio(dose_g: Decimal, yield_g: Decimal) -> Decimal:
    """Brew ratio, grams in the cup per gram of dose (shown as 1:x). ValueError for a dose of nothing."""
    _more_than_nothing("dose", dose_g)
    _not_negative("yield", yield_g)
    return yield_g / dose_g


def flow_g_s(yield_g: Decimal, time_s: Decimal) -> Decimal:
    """Mean flow over the whole shot in g/s, dead time included. ValueError for a time of nothing."""
    _more_than_nothing("time", time_s)
    _not_negative("yield", yield_g)
    return yield_g / time_s


def dissolved_g(yield_g: Decimal, tds_percent: Decimal) -> Decimal:
    """Grams of coffee dissolved in the cup, from its strength (TDS) in percent by mass."""
    _not_negative("yield", yield_g)
    if not 0 <= tds_percent <= 100:
        raise ValueError("Strength (TDS) is a percentage from 0 to 100.")
    return yield_g * tds_percent / 100


def extraction_yield_percent(dose_g: Decimal, yield_g: Decimal, tds_percent: Decimal) -> Decimal:
    """Share of the dose that reached the weighed cup, in percent (source C-04).

    The form for a weighed cup: no guess at retained liquid, no 1/(1 - strength). An app that corrects for
    moisture and gas reads about one point higher. ValueError for no dose or a strength off 0 to 100.
    """
    _more_than_nothing("dose", dose_g)
    return 100 * dissolved_g(yield_g, tds_percent) / dose_g


def _more_than_nothing(name: str, value: Decimal) -> None:
    if not value > 0:
        raise ValueError(f"The {name} must be more than nothing.")


def _not_negative(name: str, value: Decimal) -> None:
    if not value >= 0:
        raise ValueError(f"The {name} cannot be less than nothing.")
