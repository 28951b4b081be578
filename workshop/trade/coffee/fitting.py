"""The grinder as its shots show it: the time to expect at any mark, and how sure that is.

The model, in natural logarithms and with x = how far the mark lies from the coarsest end of the scale:

    ln time = a + b (x - x0) + wander(x) + g ln(dose / target dose) + h ln(yield / target yield)
              + d (days before the latest shot) + one term for each other bag of coffee + noise

`a` is the time where the shots were pulled (x0, their median), b > 0 the slope towards fine, and the wander lets
the slope drift along the dial (a Brownian path through x0), because measured series bend in different ways
(sources C-02, C-03). Given a guess of slope, of noise and of bend, every coefficient is Gaussian and the answer
is closed form; each guess counts as far as it foretold the shots. A shot right after a change is trusted less
the longer the step was. A shot that the others speak against is held for wild in one more guess, and counts for
nearly nothing there. Spoilt, choked and pressurised shots are left out.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise, product
from math import exp, log, sqrt
from statistics import median_low

from workshop.trade.coffee.mixture import Mixture
from workshop.trade.coffee.priors import Prior, prior_for
from workshop.trade.coffee.regression import Belief, Posterior, posterior
from workshop.trade.coffee.rows import extra_beliefs, offsets, row_of, steps_before, unpinned
from workshop.trade.coffee.shots import Shot, Target, usable_shots
from workshop.trade.coffee.sources import BAND_LEVEL
from workshop.trade.scales import Scale, fineness

LONGEST_LN_S = log(24 * 60 * 60)  # no band is drawn past a day, however far the scale runs on
LEAST_WEIGHT = 1e-3  # against the likeliest guess; a guess below it changes no printed second
LEAST_GAIN = log(0.02)  # a shot its fellows foretold well is not even asked about
MOST_WILD = 3  # shots held for wild at once; more than that is no series


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
class Guess:
    """One guess of slope, noise, bend and wild shots, with its weight and the coefficients under it."""

    weight: float
    slope: Belief
    noise_sd_ln: float
    bend: float  # ln2 seconds per ln second of travel
    wild: frozenset[int]  # places among the usable shots
    coefficients: Posterior

    @property
    def wander_ln2(self) -> float:
        """How far the line bends, ln2 seconds for each unit of the scale: a steep grinder bends more."""
        return self.bend * self.slope.mean


@dataclass(frozen=True, slots=True)
class Fit:
    """The grinder as the shots so far show it."""

    target: Target
    scale: Scale
    prior: Prior
    shots: tuple[Shot, ...]  # the usable ones, in the order pulled
    left_out: int
    anchor: float
    knots: tuple[float, ...]
    guesses: tuple[Guess, ...]

    @property
    def from_prior(self) -> bool:
        """Whether no usable shot stands behind it: everything it says is belief."""
        return not self.shots

    @property
    def noise_sd_ln(self) -> float:
        """How far repeats at one mark spread, ln seconds."""
        return sqrt(sum(guess.weight * guess.noise_sd_ln**2 for guess in self.guesses))

    @property
    def slope_ln(self) -> Belief:
        """The slope towards fine after the shots, ln seconds per unit of the scale."""
        pad = [0.0] * (len(self.guesses[0].coefficients.mean) - 2)
        parts = [(g.weight, g.coefficients.mean[1], sqrt(g.coefficients.variance([0, 1, *pad]))) for g in self.guesses]
        mixed = Mixture(tuple(parts))
        return Belief(mixed.mean, mixed.stdev)

    @property
    def wild(self) -> tuple[int, ...]:
        """Which of the usable shots, from 0, are likelier wild than not, though nobody marked them."""
        places = range(len(self.shots))
        return tuple(at for at in places if sum(g.weight for g in self.guesses if at in g.wild) > 0.5)

    @property
    def tested(self) -> tuple[Decimal, ...]:
        """The settings pulled with usable shots, coarsest first."""
        return tuple(sorted({shot.setting for shot in self.shots}, key=lambda s: fineness(self.scale, s)))

    def expect_ln(self, setting: Decimal) -> Mixture:
        """ln seconds of one fresh shot at target dose and yield, with the coffee of the latest shot."""
        x = float(fineness(self.scale, setting))
        extras = len(self.guesses[0].coefficients.mean) - 2 - max(len(self.knots) - 1, 0)
        row, free = row_of(x, self.anchor, self.knots, [0.0] * extras), unpinned(x, self.knots)
        return Mixture(
            tuple(
                (
                    g.weight,
                    g.coefficients.expect(row),
                    sqrt(g.coefficients.variance(row) + g.wander_ln2 * free + g.noise_sd_ln**2),
                )
                for g in self.guesses
            )
        )

    def chance_inside(self, setting: Decimal) -> float:
        """The chance of the target time for one fresh shot."""
        return self.expect_ln(setting).between(log(self.target.time_low_s), log(self.target.time_high_s))

    def predict(self, setting: Decimal, level: Decimal = BAND_LEVEL.value) -> Prediction:
        """One fresh shot at a setting, between marks too; `level` is the share of shots the band is to hold."""
        ln_s, tail = self.expect_ln(setting), (1 - float(level)) / 2
        low, middle, high = (_seconds(ln_s.quantile(chance)) for chance in (tail, 0.5, 1 - tail))
        chance = ln_s.between(log(self.target.time_low_s), log(self.target.time_high_s))
        return Prediction(setting, middle, low, high, Decimal(str(round(chance, 4))), level)

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
    anchor = median_low(places) if places else _start(scale, belief)
    knots = tuple(sorted({anchor, *places})) if any(ln2 for _, ln2 in belief.wanders) else ()
    data = _Data(
        rows=tuple(row_of(x, anchor, knots, extras) for x, extras in zip(places, offsets(kept, target), strict=True)),
        values=tuple(log(shot.time_s) for shot in kept),
        steps=steps_before(given, scale),
        anchor=anchor,
        knots=knots,
        middle_ln_s=(log(target.time_low_s) + log(target.time_high_s)) / 2,
        beliefs=extra_beliefs(kept, belief),
    )
    return Fit(target, scale, belief, kept, len(given) - len(kept), anchor, knots, _weighed(data, belief))


def _start(scale: Scale, prior: Prior) -> float:
    return float(scale.span) / 2 if prior.centre is None else prior.centre


# --- guesses, each with its weight -----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Data:
    """The shots as rows: what they say, how far the grinder had just been turned, what is believed beside."""

    rows: tuple[list[float], ...]
    values: tuple[float, ...]
    steps: tuple[float, ...]
    anchor: float
    knots: tuple[float, ...]
    middle_ln_s: float
    beliefs: list[Belief]


def _weighed(data: _Data, prior: Prior) -> tuple[Guess, ...]:
    """Every guess that foretold the shots at all, weights summing to one.

    First each guess of slope, noise and bend with no wild shot; then, as long as it matters, with one more shot
    held for wild.
    """
    found = [_tried(data, prior, each, frozenset()) for each in product(prior.slopes, prior.noises, prior.wanders)]
    best = max(each.log_weight for each in found)
    fresh = found
    for _ in range(MOST_WILD if prior.wild[0] else 0):
        wanted = {key for each in fresh for key in _doubted(data, each, prior, best)}
        fresh = [_tried(data, prior, assumed, wild) for assumed, wild in wanted]
        found = found + fresh
        best = max(best, *(each.log_weight for each in fresh)) if fresh else best
    weights = [exp(each.log_weight - best) for each in found]
    total = sum(weight for weight in weights if weight > LEAST_WEIGHT)
    return tuple(
        each.weighed(weight / total) for weight, each in zip(weights, found, strict=True) if weight > LEAST_WEIGHT
    )


_Assumed = tuple[tuple[float, Belief], tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class _Tried:
    """One guess worked out: what it assumed, which shots it holds for wild, and how well it foretold them all."""

    assumed: _Assumed
    wild: frozenset[int]
    noise: tuple[float, ...]
    found: Posterior
    log_weight: float

    def weighed(self, weight: float) -> Guess:
        """The guess with its share of all."""
        slope, noise, bend = self.assumed
        return Guess(weight, slope[1], noise[1], bend[1], self.wild, self.found)


def _tried(data: _Data, prior: Prior, assumed: _Assumed, wild: frozenset[int]) -> _Tried:
    (p_slope, slope), (p_noise, noise_sd), (p_bend, bend) = assumed
    wander_ln2 = bend * slope.mean
    beliefs = [prior.time_ln_s(data.anchor, slope, data.middle_ln_s), slope, *data.beliefs]
    beliefs += [Belief(0.0, sqrt(wander_ln2 * (high - low))) for low, high in pairwise(data.knots)]
    noise = tuple(
        noise_sd**2 + (prior.carry * slope.mean * step) ** 2 + prior.wild[1] ** 2 * (at in wild)
        for at, step in enumerate(data.steps)
    )
    found = posterior(data.rows, data.values, noise, beliefs)
    chance = log(p_slope * p_noise * p_bend) + len(wild) * prior.wild_log_odds
    return _Tried(assumed, wild, noise, found, chance + found.log_evidence)


def _doubted(data: _Data, tried: _Tried, prior: Prior, best: float) -> Iterator[tuple[_Assumed, frozenset[int]]]:
    """The same guess with one more shot held for wild, where that would weigh anything.

    How well that guess will foretell follows from this one: with leverage h a shot's residual r and variance v
    become r / (1 - h) and v / (1 - h) when it is foretold by the others alone.
    """
    for at, (row, value, v) in enumerate(zip(data.rows, data.values, tried.noise, strict=True)):
        if at in tried.wild:
            continue
        rest = 1 - tried.found.variance(row) / v
        if rest < 1e-9:
            continue  # nothing else tells of this shot: wild or not makes no difference
        miss, tame = (value - tried.found.expect(row)) / rest, v / rest
        loose = tame + prior.wild[1] ** 2
        gain = prior.wild_log_odds + (log(tame / loose) + miss**2 / tame - miss**2 / loose) / 2
        if gain > LEAST_GAIN and tried.log_weight + gain > best + log(LEAST_WEIGHT):
            yield tried.assumed, tried.wild | {at}


def _seconds(ln_s: float) -> Decimal:
    return Decimal(str(round(exp(min(ln_s, LONGEST_LN_S)), 3)))
