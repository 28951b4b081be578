"""The answer of Most to pay: the worked machine under every tax rule, and sums that add up."""

from datetime import date
from decimal import Decimal

import pytest

from tests.pricing.factories import worked_shop
from workshop.pricing.most_to_pay import Guess, work_out
from workshop.trade.money.tax import TaxRule

pytestmark = pytest.mark.django_db
DAY = date(2026, 5, 12)

# 101.00 of costs: 35.00 of parts, two hours at 30.00 (half of them spent when it fails), 6.00 set aside
CHANCY = {"minutes": 120, "parts_minor": 3500, "not_mended_percent": Decimal(15), "salvage_minor": 6000}
CERTAIN = {"minutes": 0, "parts_minor": 9500, "not_mended_percent": Decimal(0), "salvage_minor": 0}


def guess(**more):
    return Guess(**{"price_minor": 40000, "profit_minor": 6000, **more})


def ours(shop, rule, **more):
    return worked_shop(shop, tax_rule=rule, hourly_rate_minor=2400, overhead_minor_per_h=600, **more)


@pytest.mark.parametrize(
    ("typed", "rule", "most"),
    [
        # own figures worked by hand: 114.02, 144.52, 115.64, 187.10 and 165.81; never above them, a penny under at most
        (CHANCY, "UK_MARGIN", 11402),
        (CERTAIN, "UK_MARGIN", 14452),
        (CHANCY, "UK_GLOBAL", 11564),
        (CERTAIN, "NOT_REGISTERED", 18710),
        (CERTAIN, "AU_GST", 16581),
    ],
)
def test_the_worked_machine(shop, typed, rule, most):
    told = work_out(guess(**typed), ours(shop, rule), DAY)

    assert most - 1 <= told.bid_minor <= most
    assert (told.rule, told.no_price) == (rule, "")


@pytest.mark.parametrize("rule", [rule.value for rule in TaxRule])
def test_every_sum_adds_up_to_its_last_line(shop, rule):
    told = work_out(guess(**CHANCY), ours(shop, rule), DAY)

    assert sum(line.amount_minor for line in told.together) == told.bid_minor
    for lines in (told.mended, told.not_mended):
        assert sum(line.amount_minor for line in lines[:-1]) == lines[-1].amount_minor
        assert lines[-1].code == "LEAVES"
    assert (told.mended[-1].amount_minor, told.not_mended[-1].amount_minor) == (24710, 3000)


def test_no_tax_is_named_before_a_rule_is_chosen(shop):
    told = work_out(guess(**CHANCY), ours(shop, "NONE"), DAY)

    assert "TAX" not in [line.code for line in told.together]


def test_what_is_sure_to_be_mended_has_no_other_sum(shop):
    assert work_out(guess(**CERTAIN), ours(shop, "NONE"), DAY).not_mended == ()


def test_not_even_as_a_gift_says_by_how_much(shop):
    told = work_out(guess(**CERTAIN | {"parts_minor": 40000}), ours(shop, "UK_MARGIN"), DAY)

    # 400 - 51.60 fees - 0.30 - 400 - 6 - 66.67 tax on the whole 400 = -124.57, and 60 was wanted
    assert told.bid_minor is None
    assert told.no_price == "Not even as a gift: it would still leave £184.57 less than the profit wanted."
    assert told.together == ()


def test_a_rule_without_a_rate_here_says_so(shop):
    told = work_out(guess(**CERTAIN), ours(shop, "FULL_VAT", country="US"), DAY)

    assert told.bid_minor is None
    assert told.no_price.startswith("No rate is known")


@pytest.mark.parametrize(
    ("price_minor", "rule", "most"),
    [
        (90000, "UK_GLOBAL", None),  # under the limit: global accounting's own figure
        (95000, "UK_GLOBAL", 50000),  # above it in global accounting, under it item by item: the limit is the most
        (100000, "UK_MARGIN", None),  # above it both ways: it goes item by item
    ],
)
def test_global_accounting_takes_nothing_dearer_than_its_limit(shop, price_minor, rule, most):
    chancy = {"minutes": 0, "parts_minor": 0, "not_mended_percent": Decimal(30), "salvage_minor": 10000}
    told = work_out(guess(price_minor=price_minor, **chancy), ours(shop, "UK_GLOBAL"), DAY)

    assert told.rule == rule
    assert most in (None, told.bid_minor)
    assert sum(line.amount_minor for line in told.together) == told.bid_minor
    assert (told.bid_minor > 50000) is (rule == "UK_MARGIN")
