"""Bayesian linear regression with a Gaussian prior and known noise, in closed form, standard library only.

Rows are at most a few dozen long, so plain lists and one Cholesky factor do. Floats are right here: none of
this is stored.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, sqrt

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
    """Coefficients after the data: their means, and the Cholesky factor of their precision matrix."""

    mean: tuple[float, ...]
    factor: tuple[tuple[float, ...], ...]

    def expect(self, row: Row) -> float:
        """The expected value of a row."""
        return _dot(self.mean, row)

    def variance(self, row: Row) -> float:
        """How unsure that expectation is; the noise of a fresh observation is not in it."""
        half = _forward(self.factor, row)
        return _dot(half, half)


def posterior(rows: Sequence[Row], values: Row, noise_variance: float, beliefs: Sequence[Belief]) -> Posterior:
    """Combine beliefs with observations of equal, independent noise.

    ValueError where neither says anything of some coefficient.
    """
    size = range(len(beliefs))
    precision = [[sum(row[i] * row[j] for row in rows) / noise_variance for j in size] for i in size]
    pull = [sum(row[i] * value for row, value in zip(rows, values, strict=True)) / noise_variance for i in size]
    for i, belief in enumerate(beliefs):
        precision[i][i] += belief.precision
        pull[i] += belief.precision * belief.mean
    factor = cholesky(precision)
    return Posterior(tuple(_backward(factor, _forward(factor, pull))), factor)


def cholesky(matrix: Sequence[Row]) -> tuple[tuple[float, ...], ...]:
    """The lower triangle L with L Lᵀ = matrix. ValueError unless the matrix is positive definite."""
    lower: list[list[float]] = []
    for i, row in enumerate(matrix):
        built: list[float] = []
        for j in range(i):
            built.append((row[j] - _dot(built, lower[j][:j])) / lower[j][j])
        rest = row[i] - _dot(built, built)
        # What is left after rounding of a matrix that is not definite is a speck of its diagonal.
        if not rest > 1e-13 * row[i]:
            raise ValueError("The shots do not tell these coefficients apart.")
        lower.append([*built, sqrt(rest)])
    return tuple(tuple(row) for row in lower)


def _dot(a: Row, b: Row) -> float:
    return sum(x * y for x, y in zip(a, b, strict=True))


def _forward(lower: Sequence[Row], right: Row) -> list[float]:
    solved: list[float] = []
    for i, row in enumerate(lower):
        solved.append((right[i] - _dot(row[:i], solved)) / row[i])
    return solved


def _backward(lower: Sequence[Row], right: Row) -> list[float]:
    size = len(lower)
    solved = [0.0] * size
    for i in reversed(range(size)):
        known = sum(lower[k][i] * solved[k] for k in range(i + 1, size))
        solved[i] = (right[i] - known) / lower[i][i]
    return solved
