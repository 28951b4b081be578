"""One quantity under several guesses at once: a weighted sum of normal curves, its chances and its ends.

Floats are right here: none of this is stored.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import erf, sqrt

HALVINGS = 45  # of a bracket some ten spreads wide: ends good to a millionth of a millionth


@dataclass(frozen=True, slots=True)
class Mixture:
    """Normal curves as (weight, mean, spread); the weights sum to one."""

    parts: tuple[tuple[float, float, float], ...]

    @property
    def mean(self) -> float:
        """The expected value."""
        return sum(weight * mean for weight, mean, _ in self.parts)

    @property
    def stdev(self) -> float:
        """The spread: of each curve about itself, and of the curves about their common mean."""
        middle = self.mean
        return sqrt(sum(weight * (sd * sd + (mean - middle) ** 2) for weight, mean, sd in self.parts))

    def cdf(self, value: float) -> float:
        """The chance of lying below a value."""
        return 0.5 + 0.5 * sum(weight * erf((value - mean) / (sd * ROOT_2)) for weight, mean, sd in self.parts)

    def between(self, low: float, high: float) -> float:
        """The chance of lying between two values."""
        return 0.5 * sum(
            weight * (erf((high - mean) / (sd * ROOT_2)) - erf((low - mean) / (sd * ROOT_2)))
            for weight, mean, sd in self.parts
        )

    def quantile(self, chance: float) -> float:
        """The value that is fallen short of with this chance, strictly between 0 and 1."""
        low = min(mean - 9 * sd for _, mean, sd in self.parts)
        high = max(mean + 9 * sd for _, mean, sd in self.parts)
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            if self.cdf(middle) < chance:
                low = middle
            else:
                high = middle
        return (low + high) / 2


ROOT_2 = sqrt(2)


def log_normal_nodes(sd: float) -> Sequence[tuple[float, float]]:
    """A bell curve of logarithms as three points, (chance, logarithm from the middle): exact to the fifth moment.

    Gauss-Hermite with three nodes; any text of numerical analysis.
    """
    return ((1 / 6, -sqrt(3) * sd), (2 / 3, 0.0), (1 / 6, sqrt(3) * sd))
