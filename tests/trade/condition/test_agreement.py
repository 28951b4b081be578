"""How far two people agree: nothing under thirty machines, then a share and a mean worked by hand."""

from decimal import Decimal

import pytest

from workshop.trade.condition.agreement import Pair, agreement


def pairs(*wanted):
    """Return pairs from (how many, first, blind)."""
    return [Pair(Decimal(first), Decimal(blind)) for count, first, blind in wanted for _ in range(count)]


@pytest.mark.parametrize("count", [0, 1, 29])
def test_nothing_is_said_under_thirty_machines(count):
    assert agreement(pairs((count, "8.0", "8.0"))) is None


def test_thirty_machines_give_a_share_and_a_mean():
    # By hand: 24 of 30 within half a point; (20 x 0 + 4 x -0.5 + 6 x 0.6) / 30 = 1.6 / 30 = 0.05.
    found = agreement(pairs((20, "8.0", "8.0"), (4, "8.0", "7.5"), (6, "8.0", "8.6")))

    assert (found.machines, found.share_within, found.mean_difference) == (30, Decimal("0.80"), Decimal("0.05"))


def test_the_mean_keeps_its_sign_and_half_a_point_still_agrees():
    found = agreement(pairs((30, "9.0", "8.5")))

    assert (found.share_within, found.mean_difference) == (Decimal("1.00"), Decimal("-0.50"))


def test_a_difference_too_small_to_print_is_nought_and_not_minus_nought():
    found = agreement(pairs((299, "8.0", "8.0"), (1, "8.1", "8.0")))

    assert str(found.mean_difference) == "0.00"
