"""One price for several machines: the shares sum to it exactly."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.money.lots import shares_minor

TOTAL = st.integers(0, 10**12)
WEIGHTS = st.lists(st.integers(0, 10**9), min_size=1, max_size=20).filter(any)


@pytest.mark.parametrize(
    ("total", "weights", "shares"),
    [
        (30000, [1, 1, 1], [10000, 10000, 10000]),
        (10000, [1, 1, 1], [3334, 3333, 3333]),  # the odd penny goes to the first line
        (10001, [1, 1, 1], [3334, 3334, 3333]),
        (30000, [20000, 30000, 50000], [6000, 9000, 15000]),
        (100, [3, 3, 1], [43, 43, 14]),  # 42.857, 42.857, 14.286: 42 + 42 + 14 = 98, two to the largest fractions
        (1, [0, 5], [0, 1]),
        (0, [7, 2], [0, 0]),
        (8500, [40000], [8500]),
    ],
)
def test_a_lot_is_shared_by_largest_remainder(total: int, weights: list[int], shares: list[int]) -> None:
    assert shares_minor(total, weights) == shares


@given(TOTAL, WEIGHTS)
def test_the_shares_sum_to_the_price_and_none_is_a_penny_off(total: int, weights: list[int]) -> None:
    shares = shares_minor(total, weights)

    assert sum(shares) == total
    for share, weight in zip(shares, weights, strict=True):
        assert abs(share - Fraction(total * weight, sum(weights))) < 1


@given(TOTAL, WEIGHTS)
def test_a_heavier_machine_never_gets_less(total: int, weights: list[int]) -> None:
    in_order = sorted(zip(weights, shares_minor(total, weights), strict=True))
    by_weight = [share for _, share in in_order]

    assert all(later >= earlier for earlier, later in pairwise(by_weight))


@pytest.mark.parametrize(("total", "weights"), [(100, []), (100, [0, 0]), (100, [1, -1, 3]), (-1, [1])])
def test_what_cannot_be_shared_is_refused(total: int, weights: list[int]) -> None:
    with pytest.raises(ValueError, match="lot"):
        shares_minor(total, weights)
