"""Most to pay: published expectations, the worked machine, and a bisection that knows nothing of the algebra."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.money.buying import Prospect, expected_minor, most_to_pay
from workshop.trade.money.price import NoPrice, Terms, price_for_profit
from workshop.trade.money.tax import TaxRule

D = Decimal
DAY = date(2026, 5, 12)


def fees(rule: TaxRule = TaxRule.UK_MARGIN) -> Terms:
    return Terms(rule, DAY, D("0.10"), D("0.029"), 30, country="GB")


# 101.00 of costs and 0.30 fixed fee make the 101.30 of the worked machine.
CHANCY = Prospect(400_00, 101_00, D("0.85"), 60_00, 30_00)
CERTAIN = Prospect(400_00, 101_00)


@pytest.mark.parametrize(
    ("prospect", "rule", "bid"),
    [
        # own figures worked by hand, rounded to the nearest penny: 114.02, 144.52, 115.64, 187.10, 165.81
        (CHANCY, TaxRule.UK_MARGIN, 114_02),
        (CERTAIN, TaxRule.UK_MARGIN, 144_52),
        (CHANCY, TaxRule.UK_GLOBAL, 115_64),
        (CERTAIN, TaxRule.NOT_REGISTERED, 187_10),
        (CERTAIN, TaxRule.AU_GST, 165_81),
    ],
)
def test_the_worked_machine(prospect: Prospect, rule: TaxRule, bid: int) -> None:
    told = most_to_pay(prospect, profit_minor=60_00, terms=fees(rule))
    # never above the exact figure, so a penny under the nearest at most
    assert bid - 1 <= told.bid_minor <= bid
    assert sum(line.amount_minor for line in told.lines) == told.bid_minor
    assert expected_minor(prospect, told.bid_minor, fees(rule)) >= 60_00
    assert expected_minor(prospect, told.bid_minor + 1, fees(rule)) < 60_00


def test_a_published_expectation() -> None:
    # a study page: 10,000 at 0.6 and a loss of 4,000 at 0.4 is expected to bring 4,400
    prospect = Prospect(10_000, 0, D("0.6"), 0, 4_000)
    assert most_to_pay(prospect, profit_minor=0, terms=Terms(TaxRule.NONE, DAY)).bid_minor == 4_400


def test_a_loss_owned_in_advance_brings_no_tax_back() -> None:
    # 100.00, a loss of 3.00 accepted: 103.00 item by item; in global accounting the loss of 3.60 takes 0.60 off the tax
    certain = Prospect(100_00, 0)
    bids = [
        most_to_pay(certain, profit_minor=-3_00, terms=Terms(rule, DAY)).bid_minor
        for rule in (TaxRule.UK_MARGIN, TaxRule.UK_GLOBAL)
    ]
    assert bids == [103_00, 103_60]


rules = st.sampled_from(sorted(TaxRule))
amount = st.integers(0, 60000)
prospects = st.builds(
    Prospect, amount, amount, st.sampled_from([D(n) / 20 for n in range(21)]), amount, st.integers(0, 5000)
)


@settings(deadline=None)
@given(prospects, st.integers(-40000, 20000), rules)
def test_bisection_over_whole_pence_finds_the_same(prospect: Prospect, profit: int, rule: TaxRule) -> None:
    terms = fees(rule)
    if expected_minor(prospect, 0, terms) < profit:
        with pytest.raises(NoPrice, match="Not even as a gift"):
            most_to_pay(prospect, profit_minor=profit, terms=terms)
        return
    low, high = 0, 10**7  # low is good enough, high is not
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if expected_minor(prospect, middle, terms) >= profit else (low, middle)
    told = most_to_pay(prospect, profit_minor=profit, terms=terms)
    assert told.bid_minor == low
    assert sum(line.amount_minor for line in told.lines) == low


@settings(deadline=None)
@given(prospects, rules, amount)
def test_the_expectation_is_the_sum_of_its_outcomes(prospect: Prospect, rule: TaxRule, purchase: int) -> None:
    s, v = Fraction(prospect.success), Fraction(1, 6)
    if rule is not TaxRule.UK_MARGIN:
        return
    price, salvage = prospect.price_minor, prospect.salvage_minor
    sold = price * Fraction("0.871") - prospect.costs_minor - 30 - v * max(0, price - purchase) - purchase
    lost = salvage - prospect.failed_costs_minor - v * max(0, salvage - purchase) - purchase
    assert expected_minor(prospect, purchase, fees(rule)) == s * sold + (1 - s) * lost


@settings(deadline=None)
@given(st.integers(0, 50000), st.integers(0, 20000), st.integers(0, 20000), rules)
def test_what_the_price_was_set_for_can_be_paid_again(purchase: int, costs: int, profit: int, rule: TaxRule) -> None:
    # the price solved for a purchase, put back as a prospect, allows that purchase; rounding costs a few pence
    ask = price_for_profit(
        purchase_minor=purchase, other_costs_minor=costs, reserve_minor=0, profit_minor=profit, terms=fees(rule)
    )
    bid = most_to_pay(Prospect(ask.price_minor + 4, costs), profit_minor=profit, terms=fees(rule)).bid_minor
    assert purchase - 1 <= bid <= purchase + 12


@pytest.mark.parametrize("success", ["-0.01", "1.01"])
def test_a_chance_lies_between_nothing_and_certain(success: str) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        Prospect(100, 0, D(success))


def test_amounts_below_zero_are_refused() -> None:
    with pytest.raises(ValueError, match="below zero"):
        Prospect(-1, 0)
