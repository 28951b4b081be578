"""Dial-in: which mark to try next, about how long it will run, and how sure that is.

The model, in natural logarithms and with x = how far the mark lies from the coarsest end of the scale:

    ln time = a + b (x - x0) + wander(x) + g ln(dose / target dose) + h ln(yield / target yield) + noise

`a` is the time where the shots so far were pulled (x0, their median; mid scale when there are none), b > 0
the slope towards fine, and the wander lets the slope drift along the dial (a Brownian path through x0), because
measured series bend in different ways (sources C-02, C-03). Every coefficient has a Gaussian belief beforehand
and the answer is closed form. Noise comes from repeats at one mark, leaning on the belief while they are few.
Spoilt, choked and pressurised shots are left out. Bands hold about 8 shots in 10 and are of one fresh shot.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from itertools import pairwise
from math import exp, log, sqrt
from statistics import NormalDist, fmean, median_low

from workshop.trade.coffee.priors import Prior, prior_for
from workshop.trade.coffee.regression import Belief, Posterior, posterior
from workshop.trade.coffee.shots import Shot, Target, usable_shots
from workshop.trade.coffee.sources import BAND_LEVEL, NOT_INFORMATION_LN
from workshop.trade.coffee.verdict import Verdict, verdict
from workshop.trade.scales import Scale, fineness, is_finer, next_coarser, next_finer

__all__ = [
    "Contradiction",
    "Fit",
    "NextTry",
    "Prediction",
    "Prior",
    "Reason",
    "Shot",
    "Target",
    "contradiction",
    "fit",
    "next_to_try",
    "prior_for",
]

LONGEST_LN_S = log(24 * 60 * 60)  # no band is drawn past a day, however far the scale runs on
NOISE_FLOOR_LN = float(NOT_INFORMATION_LN.value)
BAND_Z = NormalDist().inv_cdf((1 + float(BAND_LEVEL.value)) / 2)


@dataclass(frozen=True, slots=True)
class Prediction:
    """One fresh shot at a setting, at target dose and yield: middle time, band, chance of the target time."""

    setting: Decimal
    mean_s: Decimal  # as often above as below
    low_s: Decimal
    high_s: Decimal
    chance_inside: Decimal
    level: Decimal = BAND_LEVEL.value


@dataclass(frozen=True, slots=True)
class Fit:
    """The grinder as the shots so far show it."""

    target: Target
    scale: Scale
    prior: Prior
    shots: tuple[Shot, ...]  # the usable ones, in the order pulled
    left_out: int
    noise_sd_ln: float
    anchor: float
    knots: tuple[float, ...]
    coefficients: Posterior

    @property
    def from_prior(self) -> bool:
        """Whether no usable shot stands behind it: everything it says is belief."""
        return not self.shots

    @property
    def slope_ln(self) -> Belief:
        """The slope towards fine after the shots, ln seconds per unit of the scale."""
        variance = self.coefficients.variance([0.0, 1.0, *[0.0] * (len(self.coefficients.mean) - 2)])
        return Belief(self.coefficients.mean[1], sqrt(variance))

    @property
    def tested(self) -> tuple[Decimal, ...]:
        """The settings pulled with usable shots, coarsest first."""
        return tuple(sorted({shot.setting for shot in self.shots}, key=lambda s: fineness(self.scale, s)))

    def expect_ln(self, setting: Decimal) -> NormalDist:
        """ln seconds of one fresh shot at target dose and yield."""
        x = float(fineness(self.scale, setting))
        row = _row(x, self.anchor, self.knots, 0.0, 0.0)
        stray = self.prior.wander_ln2 * _unpinned(x, self.knots)
        variance = self.coefficients.variance(row) + stray + self.noise_sd_ln**2
        return NormalDist(self.coefficients.expect(row), sqrt(variance))

    def predict(self, setting: Decimal) -> Prediction:
        """One fresh shot at a setting, between marks too."""
        ln_s = self.expect_ln(setting)
        reach = BAND_Z * ln_s.stdev
        chance = ln_s.cdf(log(self.target.time_high_s)) - ln_s.cdf(log(self.target.time_low_s))
        return Prediction(
            setting,
            _seconds(ln_s.mean),
            _seconds(ln_s.mean - reach),
            _seconds(ln_s.mean + reach),
            Decimal(str(round(chance, 4))),
        )

    def curve(self, settings: Iterable[Decimal]) -> tuple[Prediction, ...]:
        """A prediction for each setting, in the order asked."""
        return tuple(self.predict(setting) for setting in settings)

    def extrapolates(self, setting: Decimal) -> bool:
        """Whether a setting lies more than one tested interval outside what was tested.

        The interval is the gap between the two tested settings nearest that side; with one tested setting
        every other is beyond.
        """
        tested = [fineness(self.scale, each) for each in self.tested]
        x = fineness(self.scale, setting)
        if len(tested) < 2:
            return x not in tested
        return x < 2 * tested[0] - tested[1] or x > 2 * tested[-1] - tested[-2]


def fit(shots: Iterable[Shot], target: Target, scale: Scale, prior: Prior | None = None) -> Fit:
    """Learn from one grinder's shots, in the order pulled; without usable ones the Fit is the prior alone.

    ValueError on a scale without a finer side, or where a flat prior and too few shots leave the answer open.
    """
    given = tuple(shots)
    belief = prior_for(scale) if prior is None else prior
    kept = usable_shots(given)
    places = [float(fineness(scale, shot.setting)) for shot in kept]
    middle = float(fineness(scale, scale.low) + fineness(scale, scale.high)) / 2
    anchor = median_low(places) if places else middle
    knots = tuple(sorted({anchor, *places})) if belief.wander_ln2 else ()
    noise_sd_ln = _noise_sd_ln(kept, target, belief)
    rows = [
        _row(x, anchor, knots, _ln(shot.dose_g, target.dose_g), _ln(shot.yield_g, target.yield_g))
        for x, shot in zip(places, kept, strict=True)
    ]
    values = [log(shot.time_s) for shot in kept]
    coefficients = posterior(rows, values, noise_sd_ln**2, _beliefs(belief, knots))
    return Fit(target, scale, belief, kept, len(given) - len(kept), noise_sd_ln, anchor, knots, coefficients)


# --- advice ----------------------------------------------------------------------------------------------


class Contradiction(StrEnum):
    """What in the shots cannot be so: purge, pull again, and check which way the model notes call finer."""

    FINER_RAN_FASTER = "finer ran faster"


class Reason(StrEnum):
    """Why this setting is next."""

    START = "nothing pulled yet, so the middle of the scale"
    AGAIN = "best where it stands: pull it again"
    FINER = "finer is more likely inside"
    COARSER = "coarser is more likely inside"
    DOUBT = "the shots contradict each other: pull this one again"
    BETWEEN_MARKS = "the target falls between two tried marks: change the dose"
    END_OF_SCALE = "the scale ends before the target: change the dose"


@dataclass(frozen=True, slots=True)
class NextTry:
    """The mark to try next. `tried`: usable shots stand there. Never a recipe by itself."""

    setting: Decimal
    prediction: Prediction
    reason_code: Reason
    tried: bool
    extrapolates: bool


def next_to_try(fit: Fit) -> NextTry:
    """The mark with the best chance of the target time, among those on the right side of what was tested.

    Shots that contradict each other are settled first, by pulling the doubtful mark again. A mark more than
    one tested interval away is told as such (`extrapolates`), so is the middle of the scale before any shot.
    """
    if fit.from_prior:
        return _next(fit, fit.scale.mark((fit.scale.marks - 1) // 2), Reason.START)
    doubtful = _doubtful_setting(fit)
    if doubtful is not None:
        return _next(fit, doubtful, Reason.DOUBT)
    best = _best_mark(fit)
    return _next(fit, best, _reason(fit, best))


def contradiction(fit: Fit) -> Contradiction | None:
    """Whether a finer setting came out faster by more than repeats spread; None when the shots agree.

    Times are brought to target dose and yield first. Under a tenth apart is no information (source C-03).
    """
    return None if _doubtful_setting(fit) is None else Contradiction.FINER_RAN_FASTER


def _next(fit: Fit, setting: Decimal, reason: Reason) -> NextTry:
    tried = setting in fit.tested
    return NextTry(setting, fit.predict(setting), reason, tried, fit.extrapolates(setting))


def _best_mark(fit: Fit) -> Decimal:
    low, high = log(fit.target.time_low_s), log(fit.target.time_high_s)
    here = fineness(fit.scale, fit.shots[-1].setting)

    def merit(mark: Decimal) -> tuple[float, float, Decimal]:
        ln_s = fit.expect_ln(mark)
        # Far from the target every chance is nothing: then the mark whose middle time comes nearest.
        chance = round(ln_s.cdf(high) - ln_s.cdf(low), 9)
        miss = round(abs(ln_s.mean - (low + high) / 2), 9)
        return chance, -miss, -abs(fineness(fit.scale, mark) - here)

    return max(_marks_worth_trying(fit), key=merit)


def _marks_worth_trying(fit: Fit) -> list[Decimal]:
    """The marks not on the wrong side: none coarser than a tested one that runs fast, nor finer than a slow one.

    Far off, a band grows so wide that a mark on the wrong side would win on ignorance alone.
    """
    marks = [fit.scale.mark(place) for place in range(fit.scale.marks)]
    side = {setting: verdict(fit.predict(setting).mean_s, fit.target) for setting in fit.tested}
    fast = [setting for setting in fit.tested if side[setting] is Verdict.FAST]
    slow = [setting for setting in fit.tested if side[setting] is Verdict.SLOW]
    worth = [
        mark
        for mark in marks
        if not any(is_finer(fit.scale, each, mark) for each in fast)
        and not any(is_finer(fit.scale, mark, each) for each in slow)
    ]
    return worth or marks


def _reason(fit: Fit, best: Decimal) -> Reason:
    now = fit.shots[-1].setting
    side = verdict(fit.predict(best).mean_s, fit.target)
    if side is not Verdict.INSIDE:
        towards = next_finer if side is Verdict.FAST else next_coarser
        beyond = towards(fit.scale, best)
        if beyond is None:
            return Reason.END_OF_SCALE
        if best in fit.tested and beyond in fit.tested:
            return Reason.BETWEEN_MARKS
    if best == now:
        return Reason.AGAIN
    return Reason.FINER if is_finer(fit.scale, best, now) else Reason.COARSER


def _doubtful_setting(fit: Fit) -> Decimal | None:
    """Of the two settings that contradict each other most, the one resting on fewer shots, or newer ones."""
    times = _times_by_setting(fit.shots, fit.target, fit.prior)
    worst: tuple[float, Decimal] | None = None
    for at, coarser in enumerate(fit.tested):
        for finer in fit.tested[at + 1 :]:
            counts = len(times[coarser]), len(times[finer])
            allowed = BAND_Z * fit.noise_sd_ln * sqrt(1 / counts[0] + 1 / counts[1])
            excess = fmean(times[coarser]) - fmean(times[finer]) - max(allowed, NOISE_FLOOR_LN)
            if excess > 0 and (worst is None or excess > worst[0]):
                worst = excess, _weaker(fit, coarser, finer)
    if worst is not None:
        return worst[1]
    return fit.shots[-1].setting if fit.shots and fit.slope_ln.mean <= 0 else None


def _weaker(fit: Fit, a: Decimal, b: Decimal) -> Decimal:
    pulled = [shot.setting for shot in fit.shots]
    newest = next(setting for setting in reversed(pulled) if setting in (a, b))
    other = b if newest == a else a
    return other if pulled.count(other) < pulled.count(newest) else newest


# --- the model's parts -----------------------------------------------------------------------------------


def _row(x: float, anchor: float, knots: Sequence[float], ln_dose: float, ln_yield: float) -> list[float]:
    wander = [(_within(x, gap) - _within(anchor, gap)) / (gap[1] - gap[0]) for gap in pairwise(knots)]
    return [1.0, x - anchor, ln_dose, ln_yield, *wander]


def _within(x: float, gap: tuple[float, float]) -> float:
    return min(max(x, gap[0]), gap[1])


def _unpinned(x: float, knots: Sequence[float]) -> float:
    """How much of the wander at x no knot holds: a bridge between two knots, a free path past the last."""
    if not knots:
        return 0.0
    if not knots[0] < x < knots[-1]:
        return max(knots[0] - x, x - knots[-1], 0.0)
    low, high = next(gap for gap in pairwise(knots) if gap[0] <= x <= gap[1])
    return (x - low) * (high - x) / (high - low)


def _beliefs(prior: Prior, knots: Sequence[float]) -> list[Belief]:
    steps = [Belief(0.0, sqrt(prior.wander_ln2 * (high - low))) for low, high in pairwise(knots)]
    return [prior.time_ln_s, prior.slope_ln, prior.dose_exponent, prior.yield_exponent, *steps]


def _times_by_setting(shots: Sequence[Shot], target: Target, prior: Prior) -> dict[Decimal, list[float]]:
    """ln seconds by setting, brought to target dose and yield by the believed exponents."""
    times: dict[Decimal, list[float]] = defaultdict(list)
    for shot in shots:
        offset = prior.dose_exponent.mean * _ln(shot.dose_g, target.dose_g)
        offset += prior.yield_exponent.mean * _ln(shot.yield_g, target.yield_g)
        times[shot.setting].append(log(shot.time_s) - offset)
    return times


def _noise_sd_ln(shots: Sequence[Shot], target: Target, prior: Prior) -> float:
    groups = _times_by_setting(shots, target, prior).values()
    squares = sum((time - fmean(group)) ** 2 for group in groups for time in group)
    freedom = sum(len(group) - 1 for group in groups)
    believed = prior.repeat_trust * prior.repeat_sd_ln**2
    return sqrt((believed + squares) / (prior.repeat_trust + freedom))


def _ln(value: Decimal, reference: Decimal) -> float:
    return log(value / reference)


def _seconds(ln_s: float) -> Decimal:
    return Decimal(str(round(exp(min(ln_s, LONGEST_LN_S)), 3)))
