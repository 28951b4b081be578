"""Mend, strip, pass on, give back: worked by hand, and against the published net realisable values."""

from datetime import date
from decimal import Decimal

import pytest

from workshop.trade.money.rules import TaxRule
from workshop.trade.money.stock_value import StockItem
from workshop.trade.money.terms import Terms
from workshop.trade.money.ways import Outlook, Way, best, kept_minor, weigh

ON = date(2026, 5, 12)
PLAIN = Terms(rule=TaxRule.NONE, on=ON)
MARGIN = Terms(
    rule=TaxRule.UK_MARGIN, on=ON, selling_fee=Decimal("0.10"), payment_fee=Decimal("0.029"), fixed_fee_minor=30
)
# 2 h and 40.00 of parts to come; 300.00 mended, 8 times in 10; parts worth 90.00 in 1 h; 60.00 as it is; 70.00 back.
THOUGHT = Outlook(
    minutes=120,
    parts_minor=4000,
    price_minor=30000,
    in_ten=8,
    reserve_minor=600,
    strip_minor=9000,
    strip_minutes=60,
    pass_on_minor=6000,
    give_back_minor=7000,
)


def weighed(outlook=THOUGHT, rate=2400, purchase=12000, terms=MARGIN):
    return weigh(outlook, rate_minor_per_hour=rate, purchase_minor=purchase, terms=terms)


def test_the_four_ways_of_one_machine_worked_by_hand():
    """Bought for 120.00, sold at 300.00: fees 30.00 + 8.70 + 0.30, tax 180.00 / 6 = 30.00, reserve 6.00.

    Kept: 300.00 - 39.00 - 30.00 - 6.00 = 225.00. Its parts: 90.00 - 24.00 = 66.00.
    Mend: 0.8 x 225.00 + 0.2 x 66.00 - 48.00 - 40.00 = 180.00 + 13.20 - 88.00 = 105.20.
    Pass on at 60.00: below the price paid, no tax; fees 6.00 + 1.74 + 0.30: 51.96. Back: 70.00.
    """
    ways = weighed()

    assert {way: each.net_minor for way, each in ways.items()} == {
        Way.MEND: 10520,
        Way.STRIP: 6600,
        Way.PASS_ON: 5196,
        Way.GIVE_BACK: 7000,
    }
    assert best(ways.values()).way is Way.MEND


def test_the_two_ends_of_mending_are_the_sale_and_the_parts():
    """Right: 225.00 - 88.00 = 137.00. Wrong: 66.00 - 88.00 = -22.00. Both lie around the 105.20 in between."""
    mend = weighed()[Way.MEND]

    assert (mend.worst_minor, mend.best_minor) == (-2200, 13700)
    assert mend.per_hour_minor() == 5260


def test_the_lines_of_each_way_add_up_to_what_it_leaves():
    for each in weighed().values():
        assert sum(line.amount_minor for line in each.lines) == each.net_minor
        assert each.brings_minor - each.to_spend_minor == each.net_minor


def test_what_was_spent_already_is_not_asked_for():
    """The price paid moves the tax on the margin alone: without a tax rule it changes nothing."""
    assert weighed(terms=PLAIN, purchase=0) == weighed(terms=PLAIN, purchase=900_000)


def test_more_hours_turn_mending_into_stripping():
    """105.20 - 66.00 = 39.20 is 1 h 38 min at 24.00: one minute less mends, one more strips."""
    still = [
        best(weighed(Outlook(**{name: getattr(THOUGHT, name) for name in Outlook.__slots__} | extra)).values()).way
        for extra in ({"minutes": 217, "give_back_minor": None}, {"minutes": 219, "give_back_minor": None})
    ]

    assert still == [Way.MEND, Way.STRIP]


@pytest.mark.parametrize(
    ("price", "to_complete", "to_sell", "net"),
    [
        (300, 90, 0, 210),  # published: item cost 490, repair 90, sells at 300
        (400_000, 0, 40_000, 360_000),  # published: cost 500,000, sold later at 400,000, selling costs 40,000
    ],
)
def test_mending_that_always_comes_right_leaves_the_published_net_realisable_value(price, to_complete, to_sell, net):
    terms = Terms(rule=TaxRule.NONE, on=ON, fixed_fee_minor=to_sell)
    outlook = Outlook(minutes=0, parts_minor=to_complete, price_minor=price, in_ten=10)

    ways = weighed(outlook, purchase=490, terms=terms)

    assert ways[Way.MEND].net_minor == net
    assert StockItem(490, price, to_complete, to_sell).would_fetch_minor == net


def test_a_way_whose_amount_was_not_said_is_not_weighed():
    ways = weighed(Outlook(minutes=60, parts_minor=0, price_minor=20000, in_ten=10))

    assert [way for way, each in ways.items() if each is None] == [Way.STRIP, Way.PASS_ON, Way.GIVE_BACK]
    assert best(ways.values()).way is Way.MEND


def test_parts_that_cost_more_hours_than_they_are_worth_do_not_count_against_mending():
    poor = Outlook(minutes=0, parts_minor=0, price_minor=10000, in_ten=5, strip_minor=1000, strip_minutes=60)

    ways = weighed(poor, terms=PLAIN)

    assert ways[Way.STRIP].net_minor == -1400
    assert ways[Way.MEND].net_minor == 5000


def test_a_credit_that_comes_whichever_way_is_no_gain_of_the_sale():
    """Australia, bought for 220.00: its credit of 20.00 is there without a sale; the sale at 110.00 adds 10.00 tax."""
    terms = Terms(rule=TaxRule.AU_GST, on=ON)

    assert kept_minor(11000, 22000, 0, terms) == 10000


@pytest.mark.parametrize("wrong", [{"in_ten": 11}, {"in_ten": -1}, {"minutes": -1}, {"strip_minor": -1}])
def test_what_cannot_be_is_refused(wrong):
    values = {"minutes": 60, "parts_minor": 0, "price_minor": 100, "in_ten": 5}

    with pytest.raises(ValueError, match=r"lies between|below zero"):
        Outlook(**values | wrong)
