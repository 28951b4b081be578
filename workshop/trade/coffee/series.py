"""A few readings of one thing: lowest, highest, mean and spread."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import mean, stdev


@dataclass(frozen=True, slots=True)
class SeriesStats:
    """What a series says, in the unit it was read in. `sd`: of a sample (n - 1), None for a single value."""

    lowest: Decimal
    highest: Decimal
    mean: Decimal
    sd: Decimal | None

    @property
    def spread(self) -> Decimal:
        """From the lowest to the highest."""
        return self.highest - self.lowest


def series_stats(values: Sequence[Decimal]) -> SeriesStats:
    """Return what a series says. ValueError for no values."""
    if not values:
        raise ValueError("A series has at least one value.")
    sd = stdev(values) if len(values) > 1 else None
    return SeriesStats(min(values), max(values), mean(values), sd)


def farthest_from_mean(values: Sequence[Decimal]) -> Decimal:
    """Return how far the farthest value lies from their mean. ValueError for no values."""
    middle = series_stats(values).mean
    return max(abs(value - middle) for value in values)


def apart_share(first: Decimal, second: Decimal) -> Decimal:
    """Return how far two values lie apart, as a share of their mean: 2 where one of them is nothing.

    ValueError below nothing, and where both are nothing.
    """
    if first < 0 or second < 0 or not first + second > 0:
        raise ValueError("One of the two must be more than nothing, and none less.")
    return abs(first - second) / ((first + second) / 2)
