"""Warranty reserve: how often machines come back, shrunk to a belief, and what to keep back for each sale.

Count only sales whose cover has run, or a young warranty looks better than it is.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import exp, lgamma, log, log1p

from workshop.trade.money.tax import whole
from workshop.trade.sources import HOUSE_POLICY, Figure

# Before any own sale: one machine in ten comes back, held as firmly as ten sales would hold it.
PRIOR_COME_BACK = Figure(Decimal(1), "machines come back", HOUSE_POLICY)
PRIOR_QUIET = Figure(Decimal(9), "machines that do not", HOUSE_POLICY)
# What a return costs is at first what the workshop says: held as firmly as three own returns would hold it.
STATED_CLAIMS = Figure(Decimal(3), "returns at the cost stated", HOUSE_POLICY)
LEVEL = Figure(Decimal("0.80"), "chance inside the interval", HOUSE_POLICY)


@dataclass(frozen=True, slots=True)
class Prior:
    """A Beta belief about the share that comes back: as if `come_back` had and `quiet` had not. Source M-25."""

    come_back: Decimal
    quiet: Decimal

    def __post_init__(self) -> None:
        if self.come_back <= 0 or self.quiet <= 0:
            raise ValueError("Both sides of a prior must be above zero.")


HOUSE_PRIOR = Prior(PRIOR_COME_BACK.value, PRIOR_QUIET.value)


@dataclass(frozen=True, slots=True)
class ComeBackRate:
    """The share that comes back, a fraction, with the ends of its interval."""

    mean: Decimal
    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class Reserve:
    """What to keep back for each sale, in minor units, and the ends that the rate's interval gives."""

    reserve_minor: int
    low_minor: int
    high_minor: int
    rate: ComeBackRate


def come_back_rate(claims: int, sold: int, prior: Prior = HOUSE_PRIOR, level: Decimal = LEVEL.value) -> ComeBackRate:
    """Return the shrunk rate (claims + a) / (sold + a + b) and its equal-tailed interval.

    Raises ValueError unless 0 <= claims <= sold and 0 < level < 1. Source M-25.
    """
    if not 0 <= claims <= sold:
        raise ValueError("Machines that came back lie between none and all that were sold.")
    if not 0 < level < 1:
        raise ValueError("The chance inside an interval lies between 0 and 1.")
    a, b = prior.come_back + claims, prior.quiet + sold - claims
    tail = float(1 - level) / 2
    low, high = (_to_six(beta_quantile(float(a), float(b), share)) for share in (tail, 1 - tail))
    return ComeBackRate(a / (a + b), low, high)


def reserve(
    claims: int, sold: int, mean_claim_minor: int, prior: Prior = HOUSE_PRIOR, level: Decimal = LEVEL.value
) -> Reserve:
    """Return rate x mean cost of a claim, with interval; ValueError for counts or costs that cannot be."""
    if mean_claim_minor < 0:
        raise ValueError("The cost of a claim cannot be below zero.")
    rate = come_back_rate(claims, sold, prior, level)
    low, high = (whole(mean_claim_minor * Fraction(end)) for end in (rate.low, rate.high))
    return Reserve(whole(mean_claim_minor * Fraction(rate.mean)), low, high, rate)


def reserve_minor(claims: int, sold: int, mean_claim_minor: int, prior: Prior = HOUSE_PRIOR) -> int:
    """Return what to keep back for each sale, in minor units: the middle of `reserve`."""
    return reserve(claims, sold, mean_claim_minor, prior).reserve_minor


def mean_claim_minor(stated_minor: int, own_minor: int, own: int) -> int:
    """Return what a return costs on average: own ones (`own_minor` in all), shrunk to what was stated. Source M-23.

    Nothing stated leans on nothing: then the own mean alone counts. Raises ValueError below zero.
    """
    if min(stated_minor, own_minor, own) < 0:
        raise ValueError("Costs and returns cannot be below zero.")
    weight = STATED_CLAIMS.value if stated_minor or not own else Decimal(0)
    return whole(Fraction(weight * stated_minor + own_minor) / Fraction(weight + own))


def expected_value_minor(outcomes: Iterable[tuple[Decimal, int]]) -> int:
    """Return the expected value of (chance, amount) outcomes, rounded once; the rest brings nothing.

    Raises ValueError for chances below zero or beyond one in all. Source M-24.
    """
    known = list(outcomes)
    if any(chance < 0 for chance, _ in known) or sum(chance for chance, _ in known) > 1:
        raise ValueError("Chances are above zero and at most one in all.")
    return whole(sum((Fraction(chance) * amount for chance, amount in known), Fraction(0)))


# --- the Beta distribution, standard library only ----------------------------------------------------------

_ENOUGH_TERMS = 20_000
_TINY = 1e-300
_CLOSE = 1e-15


def beta_quantile(a: float, b: float, share: float) -> float:
    """Return the value below which `share` of Beta(a, b) lies, by halving. Source M-25."""
    low, high = 0.0, 1.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if beta_share(a, b, middle) < share else (low, middle)
    return (low + high) / 2


def beta_share(a: float, b: float, x: float) -> float:
    """Return the share of Beta(a, b) that lies below x, by its continued fraction."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        # The fraction converges fast only on the near side of the mean.
        return 1 - beta_share(b, a, 1 - x)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x))
    return front / a / _continued_fraction(a, b, x)


def _continued_fraction(a: float, b: float, x: float) -> float:
    """Evaluate 1 + d1/(1 + d2/(1 + ...)) from the front (Lentz)."""
    value, above, below = 1.0, 1.0, 0.0
    for term in range(1, _ENOUGH_TERMS):
        m = term // 2
        if term % 2:
            step = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        else:
            step = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        below = 1 / (1 + step * below or _TINY)
        above = 1 + step / above or _TINY
        value *= above * below
        if abs(above * below - 1) < _CLOSE:
            break
    return value


def _to_six(value: float) -> Decimal:
    return round(Decimal(value), 6)
