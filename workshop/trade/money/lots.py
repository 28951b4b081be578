"""One price for several machines, shared out so that the shares sum to it exactly, to the penny.

Largest remainder: each machine gets the whole pennies of its exact share; the pennies left over go one each to
the largest fractions lost, an earlier line first where two are equal. Source M-40.
"""

from collections.abc import Sequence
from enum import StrEnum
from fractions import Fraction


class LotRule(StrEnum):
    """How the price of a lot is shared out."""

    EQUAL = "EQUAL"
    BY_EXPECTED = "BY_EXPECTED"

    @property
    def label(self) -> str:
        """What a form calls it."""
        return _LABELS[self]


_LABELS = {
    LotRule.EQUAL: "Equal parts",
    LotRule.BY_EXPECTED: "By what each should fetch",
}


def shares_minor(total_minor: int, weights: Sequence[int]) -> list[int]:
    """Return each line's share of a price in minor units; the shares sum to `total_minor` exactly.

    Weights are whole numbers of any unit: all alike for equal parts, expected prices otherwise.
    Raises ValueError for no line, a price or weight below zero, or weights that are all zero.
    """
    if not weights or min(weights) < 0 or sum(weights) == 0:
        raise ValueError("A lot wants at least one line, weights not below zero, and one above it.")
    if total_minor < 0:
        raise ValueError("The price of a lot cannot be below zero.")
    exact = [Fraction(total_minor * weight, sum(weights)) for weight in weights]
    shares = [int(part) for part in exact]
    left = total_minor - sum(shares)
    by_loss = sorted(range(len(exact)), key=lambda line: (shares[line] - exact[line], line))
    for line in by_loss[:left]:
        shares[line] += 1
    return shares
