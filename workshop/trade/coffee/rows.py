"""The dial-in's shots as rows of a regression: one number for each coefficient of the model in `fitting`."""

from collections.abc import Sequence
from itertools import pairwise
from math import log

from workshop.trade.coffee.priors import Prior
from workshop.trade.coffee.regression import Belief
from workshop.trade.coffee.shots import Shot, Target
from workshop.trade.scales import Scale, fineness


def row_of(x: float, anchor: float, knots: Sequence[float], extras: Sequence[float]) -> list[float]:
    """What each coefficient counts for at a place: time, slope, the extras, and each gap's share of the wander."""
    wander = [(_within(x, gap) - _within(anchor, gap)) / (gap[1] - gap[0]) for gap in pairwise(knots)]
    return [1.0, x - anchor, *extras, *wander]


def _within(x: float, gap: tuple[float, float]) -> float:
    return min(max(x, gap[0]), gap[1])


def unpinned(x: float, knots: Sequence[float]) -> float:
    """How much of the wander at x no knot holds: a bridge between two knots, a free path past the last."""
    if not knots:
        return 0.0
    if not knots[0] < x < knots[-1]:
        return max(knots[0] - x, x - knots[-1], 0.0)
    low, high = next(gap for gap in pairwise(knots) if gap[0] <= x <= gap[1])
    return (x - low) * (high - x) / (high - low)


def offsets(shots: Sequence[Shot], target: Target) -> list[list[float]]:
    """How each shot differs from the one foretold: dose, yield, days, and each other bag of coffee."""
    if not shots:
        return []
    last = shots[-1]
    bags = _other_bags(shots)
    return [
        [
            log(shot.dose_g / target.dose_g),
            log(shot.yield_g / target.yield_g),
            float(shot.day - last.day),
            *[float(shot.bag == bag) for bag in bags],
        ]
        for shot in shots
    ]


def extra_beliefs(shots: Sequence[Shot], prior: Prior) -> list[Belief]:
    """What is believed of each of those differences beforehand."""
    if not shots:
        return []
    return [prior.dose_exponent, prior.yield_exponent, prior.day_ln, *[prior.bag_ln] * len(_other_bags(shots))]


def _other_bags(shots: Sequence[Shot]) -> list[int]:
    return sorted({shot.bag for shot in shots} - {shots[-1].bag})


def steps_before(given: Sequence[Shot], scale: Scale) -> tuple[float, ...]:
    """How far the grinder had been turned just before each usable shot; nothing where any shot went between."""
    steps, before = [], None
    for shot in given:
        x = float(fineness(scale, shot.setting))
        if shot.usable:
            steps.append(0.0 if before is None else abs(x - before))
        before = x
    return tuple(steps)
