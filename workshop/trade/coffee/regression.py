"""Bayesian linear regression with Gaussian beliefs and known noise, in closed form, standard library only.

Rows are at most a few dozen long, so plain lists and one Cholesky factor do. Floats are right here: none of
this is stored.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, log, sqrt
from operator import mul

Row = Sequence[float]


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed of one coefficient before the data; an infinite `sd` says nothing is."""

    mean: float
    sd: float

    @property
    def precision(self) -> float:
        """One over the variance; nothing for a flat belief."""
        return 0.0 if self.sd == inf else 1 / self.sd**2


@dataclass(frozen=True, slots=True)
class Posterior:
    """Coefficients after the data: their means, the Cholesky factor of their precision matrix, and the evidence.

    `log_evidence` is the logarithm of how well beliefs and noise foretold the values, up to a constant that
    depends on which beliefs are flat: to weigh beliefs against each other on the same data.
    """

    mean: tuple[float, ...]
    factor: tuple[tuple[float, ...], ...]
    log_evidence: float

    def expect(self, row: Row) -> float:
        """The expected value of a row."""
        return _dot(self.mean, row)

    def variance(self, row: Row) -> float:
        """How unsure that expectation is; the noise of a fresh observation is not in it."""
        half = _forward(self.factor, row)
        return _dot(half, half)


def posterior(rows: Sequence[Row], values: Row, noise_variances: Row, beliefs: Sequence[Belief]) -> Posterior:
    """Combine beliefs with observations of independent noise, a variance for each.

    ValueError where neither says anything of some coefficient.
    """
    size, data = range(len(beliefs)), tuple(zip(rows, values, noise_variances, strict=True))
    precision = [[0.0] * len(beliefs) for _ in size]
    pull, spent = [0.0] * len(beliefs), 0.0
    for row, value, variance in data:
        for i in size:
            if not row[i]:
                continue
            share = row[i] / variance
            pull[i] += share * value
            for j in range(i + 1):
                precision[i][j] += share * row[j]
        spent += value * value / variance + log(variance)
    for i, belief in enumerate(beliefs):
        precision[i][i] += belief.precision
        pull[i] += belief.precision * belief.mean
        if belief.precision:
            spent += belief.precision * belief.mean**2 - log(belief.precision)
    factor = cholesky(precision)
    half = _forward(factor, pull)
    spent += 2 * sum(log(row[-1]) for row in factor) - _dot(half, half)
    return Posterior(tuple(_backward(factor, half)), factor, -spent / 2)


def cholesky(matrix: Sequence[Row]) -> tuple[tuple[float, ...], ...]:
    """The lower triangle L with L Lᵀ = matrix, of which only the lower triangle is read.

    ValueError unless the matrix is positive definite.
    """
    lower: list[list[float]] = []
    for i, row in enumerate(matrix):
        built: list[float] = []
        for j in range(i):
            built.append((row[j] - _dot(built, lower[j])) / lower[j][j])
        rest = row[i] - _dot(built, built)
        # What is left after rounding of a matrix that is not definite is a speck of its diagonal.
        if not rest > 1e-13 * row[i]:
            raise ValueError("The shots do not tell these coefficients apart.")
        lower.append([*built, sqrt(rest)])
    return tuple(tuple(row) for row in lower)


def _dot(a: Row, b: Row) -> float:
    total: float = sum(map(mul, a, b))  # as far as the shorter one goes
    return total


def _forward(lower: Sequence[Row], right: Row) -> list[float]:
    solved: list[float] = []
    for row, value in zip(lower, right, strict=True):
        solved.append((value - _dot(solved, row)) / row[-1])
    return solved


def _backward(lower: Sequence[Row], right: Row) -> list[float]:
    size = len(lower)
    solved = [0.0] * size
    for i in reversed(range(size)):
        known = sum(lower[k][i] * solved[k] for k in range(i + 1, size))
        solved[i] = (right[i] - known) / lower[i][i]
    return solved
