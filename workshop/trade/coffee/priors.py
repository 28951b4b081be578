"""What the workshop believes of a grinder before its own shots: several guesses, each with its chance."""

from dataclasses import dataclass
from math import exp, inf, log, sqrt

from workshop.trade.coffee.mixture import log_normal_nodes
from workshop.trade.coffee.regression import Belief
from workshop.trade.coffee.sources import (
    BAG_SD_LN,
    BENT_LN2,
    CARRY_SHARE,
    DAY_SD_LN,
    DOSE_EXPONENT,
    DOSE_EXPONENT_SD,
    REPEAT_SD_LN,
    REPEAT_TRUST,
    START_REACH,
    STRAIGHT_LN2,
    TRAVEL_LN,
    TRAVEL_SD_LN,
    WILD_CHANCE,
    WILD_SD_LN,
    YIELD_EXPONENT,
    YIELD_EXPONENT_SD,
)
from workshop.trade.scales import Scale

Guesses = tuple[tuple[float, float], ...]  # (chance, value)

SLOPE_NODES = 7
NODE_GAP = 0.75  # between slopes tried, in spreads of ln slope
NODE_SD = 0.5  # each slope tried stands for those around it


@dataclass(frozen=True, slots=True)
class Prior:
    """What is believed of a grinder before its own shots; `prior_for` gives the workshop's defaults.

    Slopes are ln seconds per unit of the scale towards fine. `wanders` are ln2 seconds per ln second of travel:
    how far the line bends. `centre` is how far from the coarsest end the target time is expected (None: near
    where the shots were pulled) and `reach` how far off that may be, in units of the scale. `carry` is the
    share of old grounds in a shot right after a change, `wild` the chance and ln spread of a shot that is no
    test of its setting. ValueError for chances that do not sum to one, or repeats that never spread.
    """

    slopes: tuple[tuple[float, Belief], ...]
    noises: Guesses
    wanders: Guesses
    centre: float | None
    reach: float
    dose_exponent: Belief
    yield_exponent: Belief
    day_ln: Belief
    bag_ln: Belief
    carry: float
    wild: tuple[float, float]

    def __post_init__(self) -> None:
        chances = [[guess[0] for guess in guesses] for guesses in (self.slopes, self.noises, self.wanders)]
        if not all(abs(sum(each) - 1) < 1e-9 and min(each) > 0 for each in chances):
            raise ValueError("The chances of the guesses must be above nothing and sum to one.")
        if not all(sd > 0 for _, sd in self.noises) or not 0 <= self.wild[0] < 1:
            raise ValueError("Repeats always spread, and not every shot is wild.")

    @property
    def wild_log_odds(self) -> float:
        """The log odds of a wild shot beforehand; nothing where none is believed in."""
        return log(self.wild[0] / (1 - self.wild[0])) if self.wild[0] else 0.0

    def time_ln_s(self, anchor: float, slope: Belief, middle_ln_s: float) -> Belief:
        """The time where the shots were pulled, under one guess of the slope: far from the target only if steep."""
        if self.reach == inf:
            return Belief(middle_ln_s, inf)
        off = 0.0 if self.centre is None else anchor - self.centre
        return Belief(middle_ln_s + slope.mean * off, slope.mean * self.reach)


def prior_for(scale: Scale) -> Prior:
    """The house's belief about an unknown grinder, stretched to its scale.

    Sources beside each figure in `coffee/sources.py`: bends C-02 and C-03; repeats C-03; yield exponent C-02 and
    C-08; old grounds C-19; travel, reach, dose, coffee and wild shots are house policy. ValueError without a
    finer side.
    """
    if scale.finer is None:
        raise ValueError("This scale has no finer side; say in the model notes which way grinds finer.")
    # A log-normal with the mean and the spread of the believed travel.
    scatter = (float(TRAVEL_SD_LN.value) / float(TRAVEL_LN.value)) ** 2
    median = float(TRAVEL_LN.value) / sqrt(1 + scatter) / float(scale.span)
    return Prior(
        slopes=slope_guesses(Belief(log(median), sqrt(log(1 + scatter)))),
        noises=noise_guesses(),
        wanders=((0.5, float(STRAIGHT_LN2.value)), (0.5, float(BENT_LN2.value))),
        centre=None,
        reach=float(START_REACH.value) * float(scale.span),
        dose_exponent=Belief(float(DOSE_EXPONENT.value), float(DOSE_EXPONENT_SD.value)),
        yield_exponent=Belief(float(YIELD_EXPONENT.value), float(YIELD_EXPONENT_SD.value)),
        day_ln=Belief(0.0, float(DAY_SD_LN.value)),
        bag_ln=Belief(0.0, float(BAG_SD_LN.value)),
        carry=float(CARRY_SHARE.value),
        wild=(float(WILD_CHANCE.value), float(WILD_SD_LN.value)),
    )


def slope_guesses(log_slope: Belief) -> tuple[tuple[float, Belief], ...]:
    """A log-normal belief about the slope as seven bell curves, so that no guess lets finer run faster."""
    places = [NODE_GAP * (at - SLOPE_NODES // 2) for at in range(SLOPE_NODES)]
    weights = [exp(-place * place / (2 * (1 - NODE_SD**2))) for place in places]
    means = [exp(log_slope.mean + log_slope.sd * place) for place in places]
    return tuple(
        (weight / sum(weights), Belief(mean, mean * log_slope.sd * NODE_SD))
        for weight, mean in zip(weights, means, strict=True)
    )


def noise_guesses() -> Guesses:
    """How far repeats spread: the believed spread, and how far it may be off after as many repeats' trust."""
    doubt = 1 / sqrt(2 * float(REPEAT_TRUST.value))
    return tuple((chance, float(REPEAT_SD_LN.value) * exp(off)) for chance, off in log_normal_nodes(doubt))
