"""What the workshop believes of a grinder before its own shots."""

from dataclasses import dataclass
from math import log

from workshop.trade.coffee.regression import Belief
from workshop.trade.coffee.sources import (
    DOSE_EXPONENT,
    DOSE_EXPONENT_SD,
    REPEAT_SD_LN,
    REPEAT_TRUST,
    START_TIME_S,
    START_TIME_SD_LN,
    TRAVEL_LN,
    TRAVEL_SD_LN,
    WANDER_LN2,
    YIELD_EXPONENT,
    YIELD_EXPONENT_SD,
)
from workshop.trade.scales import Scale, fineness


@dataclass(frozen=True, slots=True)
class Prior:
    """What is believed of a grinder before its own shots; `prior_for` gives the workshop's defaults.

    Slope is ln seconds per unit of the scale towards fine; wander is ln2 seconds per unit. `repeat_trust` is
    how many repeats the believed spread counts for. ValueError for a spread or trust of nothing.
    """

    time_ln_s: Belief
    slope_ln: Belief
    dose_exponent: Belief
    yield_exponent: Belief
    wander_ln2: float
    repeat_sd_ln: float
    repeat_trust: float

    def __post_init__(self) -> None:
        if not (self.repeat_sd_ln > 0 and self.repeat_trust > 0 and self.wander_ln2 >= 0):
            raise ValueError("Repeats always spread, and a belief about that counts for something.")


def prior_for(scale: Scale) -> Prior:
    """The house's belief about an unknown grinder, stretched to its scale.

    Sources beside each figure in `coffee/sources.py`: start time C-06; wander and repeats C-03; yield exponent
    C-02 and C-08; the whole scale's travel and the dose exponent are house policy. ValueError without a finer side.
    """
    span = abs(float(fineness(scale, scale.high) - fineness(scale, scale.low)))
    slope = float(TRAVEL_LN.value) / span
    return Prior(
        time_ln_s=Belief(log(START_TIME_S.value), float(START_TIME_SD_LN.value)),
        slope_ln=Belief(slope, float(TRAVEL_SD_LN.value) / span),
        dose_exponent=Belief(float(DOSE_EXPONENT.value), float(DOSE_EXPONENT_SD.value)),
        yield_exponent=Belief(float(YIELD_EXPONENT.value), float(YIELD_EXPONENT_SD.value)),
        wander_ln2=float(WANDER_LN2.value) * slope,
        repeat_sd_ln=float(REPEAT_SD_LN.value),
        repeat_trust=float(REPEAT_TRUST.value),
    )
