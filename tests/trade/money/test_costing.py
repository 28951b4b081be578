"""Job costs against textbook cases; the two columns kept apart."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.money.costing import (
    labour_minor,
    margin_share,
    markup_share,
    overhead_minor,
    overhead_rate_minor,
    roll_up,
)

D = Decimal
amount = st.integers(0, 10**7)


def test_overhead_rate_of_the_textbook_case() -> None:
    # Garrison/Brewer/Noreen: (200,000 + 2.75 x 160,000) / 160,000 h = 4.00 an hour
    assert overhead_rate_minor(200_000_00 + 275 * 160_000, 160_000) == 4_00


def test_job_cost_of_the_textbook_case() -> None:
    # the same: 200 of materials, 10 h at 15, overhead 760,000 / 20,000 h = 38 an hour -> 730
    rate = overhead_rate_minor(760_000_00, 20_000)
    cost = roll_up(0, 200_00, 600, 15_00, rate, 0, 0)
    assert rate == 38_00
    assert [line.amount_minor for line in cost.lines if line.amount_minor] == [200_00, 150_00, 380_00]
    assert cost.total_minor == cost.stock_cost_minor == 730_00


@pytest.mark.parametrize(
    ("cost", "price", "margin", "markup"),
    # textbook pages: 80 -> 100 is 20 % and 25 %; 75 -> 100 is 25 % and 33.3 %; 40 with 50 % on top is 60
    [(80, 100, "0.2", "0.25"), (75, 100, "0.25", "0.3333"), (40, 60, "0.3333", "0.5")],
)
def test_margin_and_markup(cost: int, price: int, margin: str, markup: str) -> None:
    assert round(margin_share(cost, price), 4) == D(margin)
    assert round(markup_share(cost, price), 4) == D(markup)


def test_twenty_minutes_at_a_rate_that_does_not_divide() -> None:
    assert labour_minor(20, 25_00) == 8_33  # 8.3333
    assert labour_minor(D("7.5"), 22_00) == 2_75
    assert labour_minor(1, 30) == 1  # half a penny goes up
    assert overhead_minor(50, 5_00) == 4_17  # 4.1667


def test_the_columns_of_one_machine() -> None:
    cost = roll_up(120_00, 40_00, 90, 30_00, 6_00, 1_00, 6_00, wasted_minor=3_00)
    assert cost.tax_purchase_minor == 120_00  # the price paid, nothing else
    assert cost.stock_cost_minor == 120_00 + 40_00 + 45_00 + 9_00 + 1_00  # IAS 2: no reserve, no waste
    assert cost.total_minor == cost.stock_cost_minor + 6_00
    assert cost.other_costs_minor == 95_00
    assert cost.reserve_minor == 6_00


@settings(deadline=None)
@given(amount, amount, st.integers(0, 3000), amount, amount, amount, amount, amount)
def test_the_total_is_the_lines_the_price_carries(
    purchase: int, parts: int, minutes: int, rate: int, over: int, extra: int, reserve: int, wasted: int
) -> None:
    cost = roll_up(purchase, parts, minutes, rate, over, extra, reserve, wasted)
    assert cost.total_minor == sum(line.amount_minor for line in cost.lines) - wasted
    assert cost.total_minor == cost.tax_purchase_minor + cost.other_costs_minor + cost.reserve_minor
    assert cost.total_minor - cost.stock_cost_minor == reserve


@pytest.mark.parametrize("place", range(8))
def test_no_cost_below_zero(place: int) -> None:
    amounts = [0] * 8
    amounts[place] = -1
    with pytest.raises(ValueError, match="below zero"):
        roll_up(*amounts)


def test_nothing_to_divide_by() -> None:
    with pytest.raises(ValueError, match="bench hours"):
        overhead_rate_minor(100, 0)
    with pytest.raises(ValueError, match="above zero"):
        margin_share(5, 0)
    with pytest.raises(ValueError, match="above zero"):
        markup_share(0, 5)
