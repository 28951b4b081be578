"""What others like it fetched: a middle and a spread that one wild price cannot move.

Amounts are minor units, or plain Decimals in the small functions. Fewer than three prices give their range and
no interval: two numbers cannot say how far a third may lie.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import comb, sqrt
from statistics import NormalDist

from workshop.trade.money.rounding import round_half_up
from workshop.trade.money.sources import ROBUST
from workshop.trade.sources import HOUSE_POLICY, Figure

MAD_TO_SD = Figure(Decimal("1.4826"), "standard deviations per MAD of a normal sample", ROBUST)
HUBER_K = Figure(Decimal("1.5"), "scales", ROBUST)
FEWEST_FOR_AN_INTERVAL = Figure(Decimal(3), "prices", HOUSE_POLICY)
# Three prices enclose the median 3 times in 4, so asking for more would silence every small sample.
LEAST_CHANCE = Figure(Decimal("0.75"), "chance that the interval holds the median", HOUSE_POLICY)
TRUST = Figure(Decimal(3), "prices that the wider pool counts for", HOUSE_POLICY)


@dataclass(frozen=True, slots=True)
class Interval:
    """Two of the prices themselves, and the least chance that they enclose the true middle."""

    low_minor: int
    high_minor: int
    chance: Decimal


@dataclass(frozen=True, slots=True)
class Middle:
    """A robust middle and scale, in the unit of the values."""

    location: Decimal
    scale: Decimal


@dataclass(frozen=True, slots=True)
class Fetched:
    """What the prices say. `interval` is None under three prices; `median_minor` and range always stand."""

    count: int
    low_minor: int
    high_minor: int
    median_minor: int
    robust_minor: int | None
    interval: Interval | None


def summary(prices_minor: Sequence[int]) -> Fetched:
    """Return what a handful of prices says; ValueError when there is none. Sources M-21, M-22."""
    if not prices_minor:
        raise ValueError("There is no price to learn from yet.")
    values = [Decimal(price) for price in prices_minor]
    enough = len(values) >= FEWEST_FOR_AN_INTERVAL.value
    return Fetched(
        len(values),
        min(prices_minor),
        max(prices_minor),
        round_half_up(median(values)),
        round_half_up(huber(values).location) if enough else None,
        median_interval(prices_minor) if enough else None,
    )


def median(values: Sequence[Decimal]) -> Decimal:
    """Return the middle value, or half way between the two middle ones; ValueError when there is none."""
    if not values:
        raise ValueError("There is no value to take the middle of.")
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def scaled_mad(values: Sequence[Decimal]) -> Decimal:
    """Return the median distance from the median x 1.4826: a standard deviation that ignores wild values."""
    middle = median(values)
    return MAD_TO_SD.value * median([abs(value - middle) for value in values])


def huber_location(values: Sequence[Decimal]) -> Decimal:
    """Return Huber's location with the scale held at the scaled MAD; the median where that is nothing."""
    scale = float(scaled_mad(values))
    if scale == 0:
        return median(values)
    centre = float(median(values))
    for _ in range(_ROUNDS):
        pulled = [_pull(float(value), centre, scale) for value in values]
        centre, before = sum(pulled) / len(pulled), centre
        if abs(centre - before) <= _CLOSE * scale:
            break
    return _decimal(centre)


def huber(values: Sequence[Decimal]) -> Middle:
    """Return Huber's location and scale found together (proposal 2, k = 1.5). Source M-21.

    Where half the values or more are equal the scale is nothing and the location is the median.
    """
    centre, scale = float(median(values)), float(scaled_mad(values))
    if scale == 0 or len(values) < 2:
        return Middle(median(values), Decimal(0))
    for _ in range(_ROUNDS):
        pulled = [_pull(float(value), centre, scale) for value in values]
        mean = sum(pulled) / len(pulled)
        spread = sqrt(sum((value - mean) ** 2 for value in pulled) / (len(pulled) - 1) / _normal_share())
        moved = abs(mean - centre) + abs(spread - scale)
        centre, scale = mean, spread
        if moved <= _CLOSE * scale:
            break
    return Middle(_decimal(centre), _decimal(scale))


def median_interval(prices_minor: Sequence[int]) -> Interval | None:
    """Return the tightest pair of prices, equally deep from both ends, that holds the median often enough.

    It assumes no shape, only that the prices are independent sales of the same sort. None under three prices.
    The j-th lowest and j-th highest of n fail with chance 2 x P(fewer than j of n tosses). Source M-22.
    """
    ordered, n = sorted(prices_minor), len(prices_minor)
    if n < FEWEST_FOR_AN_INTERVAL.value:
        return None
    depth, chance = 1, _chance(n, 1)
    while depth + 1 <= n // 2 and _chance(n, depth + 1) >= LEAST_CHANCE.value:
        depth, chance = depth + 1, _chance(n, depth + 1)
    return Interval(ordered[depth - 1], ordered[n - depth], Decimal(chance.numerator) / chance.denominator)


def shrunk_minor(group_minor: int, count: int, pool_minor: int, trust: Decimal = TRUST.value) -> int:
    """Return a group's middle drawn towards the wider pool: Z = n / (n + k) of the group, the rest pool.

    Raises ValueError for a count below zero or no trust in the pool. Source M-23; k is house policy.
    """
    if count < 0 or trust <= 0:
        raise ValueError("Counts are not below zero, and the pool counts for something.")
    own = Decimal(count) / (count + trust)
    return round_half_up(own * group_minor + (1 - own) * pool_minor)


_ROUNDS = 500
_CLOSE = 1e-12


def _pull(value: float, centre: float, scale: float) -> float:
    reach = float(HUBER_K.value) * scale
    return min(max(value, centre - reach), centre + reach)


def _normal_share() -> float:
    """Return the variance that a normal sample keeps once its tails are pulled in to k."""
    k, normal = float(HUBER_K.value), NormalDist()
    inside = 2 * normal.cdf(k) - 1
    return inside + k * k * (1 - inside) - 2 * k * normal.pdf(k)


def _chance(n: int, depth: int) -> Fraction:
    outside = sum(comb(n, heads) for heads in range(depth))
    return 1 - Fraction(2 * outside, 2**n)


def _decimal(value: float) -> Decimal:
    return round(Decimal(value), 8)
