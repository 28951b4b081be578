"""Stock value and holding cost against published questions."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.money.stock_value import StockItem, days_held, holding_minor, stock_value_minor

D = Decimal
amount = st.integers(0, 10**6)
items = st.builds(StockItem, amount, amount, amount, amount)


def test_one_damaged_item_in_the_stock() -> None:
    # an accounting question: stock 10,469 holds an item at 490 that sells for 300 after a repair of 90 -> 10,189
    rest, damaged = StockItem(10_469 - 490, 20_000), StockItem(490, 300, to_complete_minor=90)
    assert damaged.would_fetch_minor == 210
    assert stock_value_minor([rest, damaged]) == 10_189


def test_a_write_down_for_selling_costs() -> None:
    # a student forum: cost 500,000, sold later for 400,000, selling costs 40,000 -> 360,000, write-down 140,000
    item = StockItem(500_000, 400_000, to_sell_minor=40_000)
    assert (item.would_fetch_minor, item.value_minor, item.write_down_minor) == (360_000, 360_000, 140_000)


def test_a_recovered_price_lifts_the_value_up_to_cost() -> None:
    # IAS 2.33
    assert [StockItem(500, price).value_minor for price in (400, 450, 900)] == [400, 450, 500]


def test_what_would_fetch_less_than_nothing_is_worth_nothing() -> None:
    item = StockItem(500, 100, 300)
    assert (item.would_fetch_minor, item.value_minor, item.write_down_minor) == (-200, 0, 500)


@settings(deadline=None)
@given(st.lists(items, max_size=8))
def test_item_by_item_never_exceeds_the_lump(stock: list[StockItem]) -> None:
    lump = min(sum(item.cost_minor for item in stock), sum(max(0, item.would_fetch_minor) for item in stock))
    assert stock_value_minor(stock) <= lump


def test_a_year_of_holding() -> None:
    # a stock-keeping text: 10 % of 200,000 is 20,000 a year
    assert holding_minor(200_000, 365, D("0.10"), 0) == 20_000
    # another: rent 960,000, insurance 133,333 and capital 2,400,000 on 20 million make 3,493,333, 17.5 %
    assert round(D(3_493_333) / 20_000_000, 3) == D("0.175")
    assert holding_minor(20_000_000, 365, D("0.175"), 0) == 3_500_000
    assert holding_minor(0, 30, D("0.10"), 15) == 450


def test_days_in_stock() -> None:
    assert days_held(date(2026, 2, 20), date(2026, 3, 1)) == 9
    with pytest.raises(ValueError, match="before the purchase"):
        days_held(date(2026, 3, 1), date(2026, 2, 28))


def test_nothing_below_zero() -> None:
    with pytest.raises(ValueError, match="below zero"):
        StockItem(-1, 0)
    with pytest.raises(ValueError, match="below zero"):
        holding_minor(1, -1, D(0), 0)
