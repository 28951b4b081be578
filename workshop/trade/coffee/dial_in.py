"""Dial-in: which mark to try next, about how long it will run, and how sure that is.

The model behind it, and how it learns, is `fitting`; what it believes beforehand, `priors`. Bands hold about
8 shots in 10 and are of one fresh shot.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import log, sqrt
from statistics import NormalDist, fmean

from workshop.trade.coffee.fitting import Fit, Prediction, fit
from workshop.trade.coffee.priors import Prior, prior_for
from workshop.trade.coffee.shots import Shot, Target
from workshop.trade.coffee.sources import BAND_LEVEL, DOSE_AGREEMENT_G, NOT_INFORMATION_LN, YIELD_BAND_SHARE
from workshop.trade.coffee.verdict import Verdict, verdict, verdict_at_yield
from workshop.trade.scales import fineness, is_finer, next_coarser, next_finer

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

NOISE_FLOOR_LN = float(NOT_INFORMATION_LN.value)
LIKELIER = Decimal("0.05")  # a chance apart by less is told as the same: half a tenth. House policy.
BAND_Z = NormalDist().inv_cdf((1 + float(BAND_LEVEL.value)) / 2)


class Contradiction(StrEnum):
    """What in the shots cannot be so: purge, pull again, and check which way the model notes call finer."""

    FINER_RAN_FASTER = "finer ran faster"


class Reason(StrEnum):
    """Why this setting is next."""

    START = "nothing pulled yet, so the middle of the scale"
    EARLIER = "nothing pulled yet, so where earlier units of the model were left"
    AGAIN = "best where it stands: pull it again"
    FINER = "finer is more likely inside"
    COARSER = "coarser is more likely inside"
    DOSE = "the grinder is right: only the dose is off"
    YIELD = "the grinder is right: only the yield is off"
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


def next_to_try(fit: Fit, start: Decimal | None = None) -> NextTry:
    """The mark with the best chance of the target time, among those on the right side of what was tested.

    `start` is where earlier units of the model say to begin. After a shot inside, that mark again as long as
    hardly any is likelier, for a recipe wants two. No chance is given away for what a shot would tell: near the
    target every mark tells about as much, and looking two shots ahead landed no sooner (DEVELOPERS.md, 7).
    Shots that contradict each other are settled first, by pulling the doubtful mark again. A mark more than
    one tested interval away is told as such (`extrapolates`), so is the middle of the scale before any shot.
    """
    if fit.from_prior:
        middle = fit.scale.mark((fit.scale.marks - 1) // 2)
        return _next(fit, middle, Reason.START) if start is None else _next(fit, start, Reason.EARLIER)
    doubtful = _doubtful_setting(fit)
    if doubtful is not None:
        return _next(fit, doubtful, Reason.DOUBT)
    chances = _chances(fit)
    likeliest = max(chances, key=chances.__getitem__)
    best = _or_a_pair(fit, chances, likeliest)
    return _next(fit, best, _reason(fit, best))


def contradiction(fit: Fit) -> Contradiction | None:
    """Whether a finer setting came out faster by more than repeats spread; None when the shots agree.

    Times are brought to target dose and yield first. Under a tenth apart is no information (source C-03). It is
    a channel, a wrong dose, old grounds or worn burrs, or the notes have the finer side wrong.
    """
    return None if _doubtful_setting(fit) is None else Contradiction.FINER_RAN_FASTER


def _next(fit: Fit, setting: Decimal, reason: Reason) -> NextTry:
    tried = setting in fit.tested
    return NextTry(setting, fit.predict(setting), reason, tried, fit.extrapolates(setting))


def _chances(fit: Fit) -> dict[Decimal, tuple[float, float, Decimal]]:
    """By mark: its chance of the target time, then what ranks marks of one chance."""
    low, high = log(fit.target.time_low_s), log(fit.target.time_high_s)
    here = fineness(fit.scale, fit.shots[-1].setting)
    found = {}
    for mark in _marks_worth_trying(fit):
        # Far from the target every chance is nothing: then the mark whose middle time comes nearest.
        ln_s = fit.expect_ln(mark)
        inside, miss = round(ln_s.between(low, high), 9), round(abs(ln_s.mean - (low + high) / 2), 9)
        found[mark] = inside, -miss, -abs(fineness(fit.scale, mark) - here)
    return found


def _or_a_pair(fit: Fit, chances: dict[Decimal, tuple[float, float, Decimal]], likeliest: Decimal) -> Decimal:
    """The likeliest mark, or the latest one where its shot landed and hardly any is likelier: it makes a pair."""
    last = fit.shots[-1]
    landed = verdict_at_yield(last.time_s, last.yield_g, fit.target) is Verdict.INSIDE
    if landed and last.setting in chances and chances[likeliest][0] - chances[last.setting][0] < LIKELIER:
        return last.setting
    return likeliest


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
        return _again(fit.shots[-1], fit.target)
    return Reason.FINER if is_finer(fit.scale, best, now) else Reason.COARSER


def _again(last: Shot, target: Target) -> Reason:
    """Why the same mark again: the shot itself was right, or it missed for its dose or its yield only."""
    if verdict(last.time_s, target) is Verdict.INSIDE:
        return Reason.AGAIN
    if abs(last.dose_g - target.dose_g) > DOSE_AGREEMENT_G.value:
        return Reason.DOSE
    off = abs(last.yield_g - target.yield_g) > target.yield_g * YIELD_BAND_SHARE.value
    return Reason.YIELD if off else Reason.AGAIN


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
    return None if worst is None else worst[1]


def _weaker(fit: Fit, a: Decimal, b: Decimal) -> Decimal:
    pulled = [shot.setting for shot in fit.shots]
    newest = next(setting for setting in reversed(pulled) if setting in (a, b))
    other = b if newest == a else a
    return other if pulled.count(other) < pulled.count(newest) else newest


def _times_by_setting(shots: Sequence[Shot], target: Target, prior: Prior) -> dict[Decimal, list[float]]:
    """ln seconds by setting, brought to target dose and yield by the believed exponents."""
    times: dict[Decimal, list[float]] = defaultdict(list)
    for shot in shots:
        offset = prior.dose_exponent.mean * log(shot.dose_g / target.dose_g)
        offset += prior.yield_exponent.mean * log(shot.yield_g / target.yield_g)
        times[shot.setting].append(log(shot.time_s) - offset)
    return times
