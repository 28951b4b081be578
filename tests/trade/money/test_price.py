"""The asking price: published fee sums, the worked machine, and a plain search over every price."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.money.price import (
    NoPrice,
    Terms,
    floor,
    nice_price,
    price_for_margin,
    price_for_profit,
    profit_at,
)
from workshop.trade.money.tax import TaxRule

D = Decimal
DAY = date(2026, 5, 12)
# The worked machine: bought 120, costs 95, reserve 6, 0.30 fixed, 10 % and 2.9 % fees, margin scheme at 20 %.
MACHINE: dict[str, Any] = {"purchase_minor": 120_00, "other_costs_minor": 95_00, "reserve_minor": 6_00}


def fees(rule: TaxRule = TaxRule.UK_MARGIN, selling: str = "0.10", payment: str = "0.029", fixed: int = 30) -> Terms:
    return Terms(rule, DAY, D(selling), D(payment), fixed, country="GB")


def test_the_worked_machine_at_60_profit() -> None:
    # own check by hand: (60 + 95 + 6 + 0.30 + 120 x 5/6) / (1 - 0.129 - 1/6) = 370.98912
    ask = price_for_profit(**MACHINE, profit_minor=60_00, terms=fees())
    assert ask.price_minor == 370_99
    assert round(ask.exact_minor / 100, 5) == D("370.98912")
    assert ask.breakdown.tax_minor == 41_83
    assert [(line.code, line.amount_minor) for line in ask.breakdown.lines] == [
        ("PRICE", 370_99),
        ("PURCHASE", -120_00),
        ("COSTS", -95_00),
        ("RESERVE", -6_00),
        ("SELLING_FEE", -37_10),
        ("PAYMENT_FEE", -10_76),
        ("FIXED_FEE", -30),
        ("TAX", -41_83),
    ]
    assert ask.profit_minor == 60_00
    assert ask.breakdown.lines[4].words == "Selling fee, 10 % of the price"
    assert ask.breakdown.lines[5].words == "Payment fee, 2.9 % of the price"


def test_the_worked_machine_at_15_in_100() -> None:
    # own check by hand: 201.30 / (1 - 0.129 - 1/6 - 0.15) = 363.14
    ask = price_for_margin(**MACHINE, profit_share=D("0.15"), terms=fees())
    assert round(ask.exact_minor) == 363_14
    # Tax and fees each happen to round in our favour a penny below: 54.47 left of 363.13 is 15.0001 %.
    assert (ask.price_minor, ask.profit_minor) == (363_13, 54_47)


@pytest.mark.parametrize(
    ("net", "fixed", "payment", "printed"),
    [
        (100_00, 30, "0.029", 103_30),  # a payment help page: net 100 at 2.9 % + 0.30
        (206_04, 30, "0.029", 212_50),  # a mathematics forum: (206.04 + 0.30) / 0.971
        (100_00, 30, "0.079", 108_90),  # a family site's formula at 7.9 % + 0.30
    ],
)
def test_charge_for_a_net_sum(net: int, fixed: int, payment: str, printed: int) -> None:
    terms = fees(TaxRule.NOT_REGISTERED, "0", payment, fixed)
    assert floor(purchase_minor=0, other_costs_minor=net, reserve_minor=0, terms=terms).price_minor == printed


def test_sold_below_what_was_paid_no_tax_is_due() -> None:
    # own arithmetic: 60 wanted loss, no fees: 120 + 10 - 60 = 70, below 120, so no tax and a sum that still adds up
    terms = fees(selling="0", payment="0", fixed=0)
    ask = price_for_profit(
        purchase_minor=120_00, other_costs_minor=10_00, reserve_minor=0, profit_minor=-60_00, terms=terms
    )
    assert (ask.price_minor, ask.breakdown.tax_minor, ask.profit_minor) == (70_00, 0, -60_00)
    assert ask.exact_minor == 70_00


def test_global_accounting_gives_a_loss_its_relief() -> None:
    terms = fees(TaxRule.UK_GLOBAL, "0", "0", 0)
    ask = price_for_profit(
        purchase_minor=120_00, other_costs_minor=10_00, reserve_minor=0, profit_minor=-60_00, terms=terms
    )
    assert ask.price_minor == 60_00  # (-60 + 10 + 100) / (5/6)
    assert ask.breakdown.tax_minor == -10_00


# --- a plain search over every price ---------------------------------------------------------------------

RULES = sorted(TaxRule)
purses = st.fixed_dictionaries(
    {
        "purchase_minor": st.integers(0, 40000),
        "other_costs_minor": st.integers(0, 20000),
        "reserve_minor": st.integers(0, 2000),
    }
)
terms_of_sale = st.builds(
    fees,
    st.sampled_from(RULES),
    st.sampled_from(["0", "0.05", "0.10", "0.128"]),
    st.sampled_from(["0", "0.014", "0.029", "0.0345"]),
    st.integers(0, 500),
)


def first_that_does(enough: Any, start: int = 0) -> int:
    """The lowest price of all that does it, by trying them one after another."""
    return next(price for price in range(start, 10**7) if enough(price))


@settings(max_examples=20, deadline=None)
@given(
    st.fixed_dictionaries(
        {
            "purchase_minor": st.integers(0, 900),
            "other_costs_minor": st.integers(0, 900),
            "reserve_minor": st.integers(0, 100),
        }
    ),
    st.integers(-900, 900),
    terms_of_sale,
)
def test_a_search_over_every_price_finds_the_same(purse: dict[str, int], profit: int, terms: Terms) -> None:
    found = first_that_does(lambda price: profit_at(price, **purse, terms=terms).profit_minor >= profit)
    assert price_for_profit(**purse, profit_minor=profit, terms=terms).price_minor == found


@pytest.mark.parametrize("purchase", [299_99, 300_00, 300_01, 350_00])
@pytest.mark.parametrize("profit", [-20_00, 0])
def test_the_search_agrees_on_both_sides_of_the_australian_boundary(purchase: int, profit: int) -> None:
    purse = {"purchase_minor": purchase, "other_costs_minor": 0, "reserve_minor": 0}
    terms = fees(TaxRule.AU_GST, "0.05", "0.0345", 30)
    # What comes in alone is too little here, fees not yet counted, so the search skips nothing.
    start = purchase + profit
    assert profit_at(start, **purse, terms=terms).profit_minor < profit
    found = first_that_does(lambda price: profit_at(price, **purse, terms=terms).profit_minor >= profit, start)
    assert price_for_profit(**purse, profit_minor=profit, terms=terms).price_minor == found


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 3000), st.integers(0, 900), st.sampled_from(["0", "0.1", "0.25", "-0.1"]), terms_of_sale)
def test_a_search_finds_the_same_share(purchase: int, costs: int, share: str, terms: Terms) -> None:
    purse = {"purchase_minor": purchase, "other_costs_minor": costs, "reserve_minor": 0}
    found = first_that_does(lambda price: profit_at(price, **purse, terms=terms).profit_minor >= D(share) * price)
    assert price_for_margin(**purse, profit_share=D(share), terms=terms).price_minor == found


@settings(deadline=None)
@given(purses, st.integers(-20000, 40000), terms_of_sale)
def test_one_coin_less_is_not_enough(purse: dict[str, int], profit: int, terms: Terms) -> None:
    ask = price_for_profit(**purse, profit_minor=profit, terms=terms)
    assert ask.profit_minor >= profit
    if ask.price_minor:
        assert profit_at(ask.price_minor - 1, **purse, terms=terms).profit_minor < profit


@settings(deadline=None)
@given(purses, terms_of_sale)
def test_the_floor_is_the_price_for_no_profit(purse: dict[str, int], terms: Terms) -> None:
    assert floor(**purse, terms=terms) == price_for_profit(**purse, profit_minor=0, terms=terms)


@settings(deadline=None)
@given(purses, terms_of_sale, st.integers(0, 200000))
def test_the_lines_add_up_to_the_profit(purse: dict[str, int], terms: Terms, price: int) -> None:
    told = profit_at(price, **purse, terms=terms)
    assert sum(line.amount_minor for line in told.lines) == told.profit_minor


@pytest.mark.parametrize("rule", RULES)
def test_the_tax_line_shows_only_where_tax_lies_in_the_price(rule: TaxRule) -> None:
    codes = [line.code for line in profit_at(100_00, **MACHINE, terms=fees(rule)).lines]
    untaxed = {TaxRule.NONE, TaxRule.NOT_REGISTERED, TaxRule.US_SALES_TAX}
    assert codes.count("TAX") == (0 if rule in untaxed else 1)


# --- no price --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("selling", ["0.81", "0.8043", "1.5"])
def test_fees_and_tax_that_leave_nothing(selling: str) -> None:
    with pytest.raises(NoPrice, match="leaves next to nothing"):
        price_for_profit(**MACHINE, profit_minor=0, terms=fees(selling=selling))


def test_the_last_share_that_still_makes_a_price() -> None:
    # house limit: a hundredth of each further pound is kept
    terms = [fees(TaxRule.NOT_REGISTERED, selling, "0", 0) for selling in ("0.99", "0.9901")]
    ask = floor(purchase_minor=0, other_costs_minor=1_00, reserve_minor=0, terms=terms[0])
    assert round(ask.exact_minor) == 100_00
    with pytest.raises(NoPrice, match="leaves next to nothing"):
        floor(purchase_minor=0, other_costs_minor=1_00, reserve_minor=0, terms=terms[1])


def test_a_share_that_cannot_be_kept() -> None:
    with pytest.raises(NoPrice, match=r"the fees take 12.9 %, the tax 16.67 %, the profit wanted 71 %"):
        price_for_margin(**MACHINE, profit_share=D("0.71"), terms=fees())


def test_an_unknown_rate_is_a_sentence_and_an_own_rate_mends_it() -> None:
    unknown = Terms(TaxRule.FULL_VAT, DAY, country="FR")
    with pytest.raises(NoPrice, match="No rate is known"):
        floor(**MACHINE, terms=unknown)
    own = Terms(TaxRule.FULL_VAT, DAY, country="FR", rate_percent=D(20))
    assert floor(**MACHINE, terms=own).price_minor == 265_20  # 221 x 1.2
    assert floor(**MACHINE, terms=Terms(TaxRule.NONE, DAY, rate_percent=D(20))).price_minor == 221_00


@pytest.mark.parametrize("name", sorted(MACHINE))
def test_costs_below_zero_are_refused(name: str) -> None:
    with pytest.raises(ValueError, match="below zero"):
        floor(**(MACHINE | {name: -1}), terms=fees())


def test_fees_below_zero_are_refused() -> None:
    with pytest.raises(ValueError, match="fee cannot be below zero"):
        fees(selling="-0.1")


@pytest.mark.parametrize(
    ("minor", "step", "nice"),
    # Peppol BIS 3 totals: 999.81 payable becomes 1000, a rounding of 0.19
    [(999_81, 1_00, 1000_00), (370_99, 5_00, 375_00), (375_00, 5_00, 375_00), (0, 5_00, 0), (1, 1, 1)],
)
def test_a_round_price(minor: int, step: int, nice: int) -> None:
    assert nice_price(minor, step) == nice


def test_a_round_price_needs_a_step() -> None:
    with pytest.raises(ValueError, match="step above zero"):
        nice_price(100, 0)
