"""The Langelier index: whether a water lays scale (above nought) or takes it up (below).

Equilibrium programs differ by more than this formula does, so show one decimal at most and speak of a
class, not of a measurement.
"""

from decimal import Decimal
from math import log10

from workshop.trade.water.limits import must_be_positive, must_lie_between

# The form's own constants (source W-07); it counts 273, not 273.15, to the Celsius reading.
KELVIN_OF_FORM = 273.0
TEMP_FACTOR = 13.12
TEMP_CONSTANT = 34.55
COLDEST_C, HOTTEST_C = Decimal(0), Decimal(150)


def temp_factor(temp_c: Decimal) -> float:
    """Factor B of the Langelier form. ValueError outside 0 to 150 C. Source W-07."""
    must_lie_between(temp_c, COLDEST_C, HOTTEST_C, "water temperature in C")
    return TEMP_CONSTANT - TEMP_FACTOR * log10(float(temp_c) + KELVIN_OF_FORM)


def langelier_index(
    *, ph: Decimal, tds_mg_l: Decimal, calcium_mg_l: Decimal, alkalinity_mg_l: Decimal, temp_c: Decimal
) -> Decimal:
    """The Langelier index to a hundredth; calcium and alkalinity in mg/L as CaCO3. Source W-07.

    ValueError for a concentration that is not above nought, a pH outside 0 to 14 or a temperature outside
    0 to 150 C.
    """
    must_lie_between(ph, Decimal(0), Decimal(14), "pH")
    must_be_positive(tds_mg_l, "dissolved solids")
    must_be_positive(calcium_mg_l, "calcium hardness")
    must_be_positive(alkalinity_mg_l, "alkalinity")
    solids = (log10(float(tds_mg_l)) - 1) / 10
    calcium = log10(float(calcium_mg_l)) - 0.4
    ph_saturated = 9.3 + solids + temp_factor(temp_c) - calcium - log10(float(alkalinity_mg_l))
    return Decimal(float(ph) - ph_saturated).quantize(Decimal("0.01"))
