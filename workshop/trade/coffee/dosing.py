"""How many grams a timed grinder or a dose dial gives: a straight line through weighed trials.

grams = rate x (seconds or dial - offset), for each portion ground. Two or more lengths, short and long, part
the rate from the start and stop of the motor. A grind change alters the rate, so trials belong to one grind.
The spread is about 8 in 10, from the trials' own scatter, leaning on common practice (0.3 to 0.5 g) while
they are few.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from statistics import NormalDist

from workshop.trade.coffee.sources import (
    BAND_LEVEL,
    DOSE_AGREEMENT_G,
    DOSE_DRIFT_RUN,
    TIMED_DOSE_SD_G,
    TIMED_DOSE_TRUST,
)
from workshop.trade.scales import HOURS_ON_A_DIAL, Scale, ScaleKind, snap, travel


@dataclass(frozen=True, slots=True)
class DoseTrial:
    """One weighed dose: the length or mark of each portion, how many portions, the grams in all.

    `topped_up`: grams added by hand, so the weight says nothing of the grinder. ValueError for grams below
    nothing or no portion.
    """

    setting: Decimal
    dose_g: Decimal
    portions: int = 1
    topped_up: bool = False

    def __post_init__(self) -> None:
        if not (self.dose_g >= 0 and self.portions >= 1):
            raise ValueError("A dose trial needs grams of nothing or more and at least one portion.")


@dataclass(frozen=True, slots=True)
class Dose:
    """Grams expected at a setting, and the band that holds about 8 doses in 10."""

    setting: Decimal
    portions: int
    mean_g: Decimal
    low_g: Decimal
    high_g: Decimal


@dataclass(frozen=True, slots=True)
class DoseFit:
    """A line through the trials. `offset` is travel from the low end of the scale, where the grams begin."""

    scale: Scale
    rate: Decimal  # grams per unit of the scale
    offset: Decimal
    trials: int
    noise_sd_g: Decimal
    centre: Decimal  # weighted mean travel
    weight: Decimal  # portions in all
    breadth: Decimal  # weighted squares about the centre
    shortest: Decimal  # travel of the least and the most that was weighed
    longest: Decimal

    def weighed(self, setting: Decimal) -> bool:
        """Whether a setting lies between the shortest and the longest that was weighed."""
        return self.shortest <= travel(self.scale, setting) <= self.longest

    def running_totals_g(self, setting: Decimal, portions: int) -> tuple[Decimal, ...]:
        """What the scale should read after each portion."""
        return tuple(self.dose_at(setting, count).mean_g for count in range(1, portions + 1))

    def dose_at(self, setting: Decimal, portions: int = 1) -> Dose:
        """Grams from this many portions at a setting, with their band."""
        if portions < 1:
            raise ValueError("A dose is ground in at least one portion.")
        length = travel(self.scale, setting)
        mean_g = portions * self.rate * (length - self.offset)
        line = 1 / self.weight + (length - self.centre) ** 2 / self.breadth
        sd_g = self.noise_sd_g * (portions + portions**2 * line).sqrt()
        either_side = Decimal(str(NormalDist().inv_cdf((1 + float(BAND_LEVEL.value)) / 2))) * sd_g
        return Dose(setting, portions, mean_g, max(mean_g - either_side, Decimal(0)), mean_g + either_side)

    def exact_setting_for(self, target_g: Decimal, portions: int = 1) -> Decimal:
        """The reading that gives the target grams, between marks or off the scale as it falls."""
        if not (target_g > 0 and portions >= 1):
            raise ValueError("The target dose must be more than nothing, in at least one portion.")
        value = self.scale.low + self.offset + target_g / portions / self.rate
        return value % HOURS_ON_A_DIAL if self.scale.kind is ScaleKind.CLOCK else value

    def setting_for(self, target_g: Decimal, portions: int = 1) -> Dose | None:
        """The nearest mark to the target grams and what it gives; None where the scale does not reach it."""
        if not (target_g > 0 and portions >= 1):
            raise ValueError("The target dose must be more than nothing, in at least one portion.")
        length = self.offset + target_g / portions / self.rate
        half_a_step = self.scale.step / 2
        if not -half_a_step <= length <= self.scale.span + half_a_step:
            return None
        mark = snap(self.scale, self.exact_setting_for(target_g, portions))
        return self.dose_at(mark, portions)


def fit_dose(trials: Iterable[DoseTrial], scale: Scale) -> DoseFit:
    """Fit the line by least squares, a trial of n portions counting n times (its mean portion is steadier).

    Topped-up trials stay out. ValueError with fewer than two settings, or if longer does not give more.
    """
    kept = [trial for trial in trials if not trial.topped_up]
    points = [(travel(scale, t.setting), t.dose_g / t.portions, Decimal(t.portions)) for t in kept]
    if len({length for length, _, _ in points}) < 2:
        raise ValueError("Weigh doses at two settings at least, one short and one long.")
    weight = sum((n for _, _, n in points), Decimal(0))
    centre = sum((n * length for length, _, n in points), Decimal(0)) / weight
    middle_g = sum((n * grams for _, grams, n in points), Decimal(0)) / weight
    breadth = sum((n * (length - centre) ** 2 for length, _, n in points), Decimal(0))
    rate = sum((n * (length - centre) * (g - middle_g) for length, g, n in points), Decimal(0)) / breadth
    if not rate > 0:
        raise ValueError("The longer setting did not give more coffee; weigh again.")
    misses = (n * (g - middle_g - rate * (length - centre)) ** 2 for length, g, n in points)
    noise_sd_g = _noise_sd_g(sum(misses, Decimal(0)), len(points) - 2)
    lengths = [length for length, _, _ in points]
    ends = (min(lengths), max(lengths))
    return DoseFit(scale, rate, centre - middle_g / rate, len(points), noise_sd_g, centre, weight, breadth, *ends)


def _noise_sd_g(squares: Decimal, freedom: int) -> Decimal:
    trust = TIMED_DOSE_TRUST.value
    return ((trust * TIMED_DOSE_SD_G.value**2 + squares) / (trust + freedom)).sqrt()


class Drift(StrEnum):
    """The side on which doses went out of tolerance."""

    LIGHT = "light"
    HEAVY = "heavy"


def drift(doses_g: Sequence[Decimal], target_g: Decimal, tolerance_g: Decimal = DOSE_AGREEMENT_G.value) -> Drift | None:
    """The side on which the last three doses all lie out of tolerance: time to weigh trials again (C-19).

    Doses come in the order ground. None while fewer are known, or one of them is inside or on the other side.
    """
    last = doses_g[-int(DOSE_DRIFT_RUN.value) :]
    if len(last) < DOSE_DRIFT_RUN.value:
        return None
    if all(dose < target_g - tolerance_g for dose in last):
        return Drift.LIGHT
    return Drift.HEAVY if all(dose > target_g + tolerance_g for dose in last) else None


# How a dose is set, where no model gives the ends of its scale. Ends are wide and marks fine; a dial like a clock
# face begins at six, for a knob has its dead part at the bottom. Common practice, no source.
_DOSE_SCALES = {
    ScaleKind.SECONDS: Scale(ScaleKind.SECONDS, Decimal(0), Decimal(60), Decimal("0.1"), None),
    ScaleKind.GRAMS: Scale(ScaleKind.GRAMS, Decimal(0), Decimal(60), Decimal("0.1"), None),
    ScaleKind.STEPS: Scale(ScaleKind.STEPS, Decimal(0), Decimal(100), Decimal("0.5"), None),
    ScaleKind.CLOCK: Scale(ScaleKind.CLOCK, Decimal(6), Decimal("5.75"), Decimal("0.25"), None),
}


def dose_scale(kind: str) -> Scale:
    """The scale a dose is set on: seconds, grams, numbered steps or a clock face; seconds where it is not said."""
    return (
        _DOSE_SCALES.get(ScaleKind(kind), _DOSE_SCALES[ScaleKind.SECONDS]) if kind else _DOSE_SCALES[ScaleKind.SECONDS]
    )
