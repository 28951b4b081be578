"""Extras beside a machine: published taxes added up, one rounding a rate, and a plain search for the floor."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.money.extras import NOTHING, Extra, ExtraTax, add_up, shown
from workshop.trade.money.price import Terms, floor, price_for_profit, profit_at
from workshop.trade.money.tax import NoRate, TaxRule, tax_minor

D = Decimal
DAY = date(2026, 5, 12)


def extra(amount, tax="STANDARD", rate=None, cost=0):
    return Extra(amount, ExtraTax(tax), D(rate) if rate else None, cost)


def test_the_published_margin_sale_with_a_new_tamper_beside_it() -> None:
    """UK1 (M-03): bought 500, sold 1,500, tax 166.67; the tamper of 24.00 holds a sixth, 4.00 (gov.uk VAT fraction)."""
    sold = add_up([extra(24_00)], TaxRule.UK_MARGIN, DAY)
    sum_at = profit_at(
        1500_00,
        purchase_minor=500_00,
        other_costs_minor=500_00,
        reserve_minor=0,
        terms=Terms(TaxRule.UK_MARGIN, DAY),
        extras=sold,
    )

    taxes = {line.code: -line.amount_minor for line in sum_at.lines}
    assert (taxes["TAX"], taxes["EXTRAS_TAX"]) == (166_67, 4_00)
    assert sum_at.tax_minor == 170_67
    assert sum_at.profit_minor == 1524_00 - 500_00 - 500_00 - 170_67


def test_delivery_is_part_of_the_margin_and_a_tamper_is_not() -> None:
    """Article 312 (M-45): what is charged beside the price counts into it: (1,500 + 30 - 500) / 6 = 171.67."""
    delivery = add_up([extra(30_00, "MACHINE")], TaxRule.UK_MARGIN, DAY)

    assert (delivery.with_machine_minor, delivery.tax_minor) == (30_00, 0)
    assert tax_minor(500_00, 1500_00 + delivery.with_machine_minor, TaxRule.UK_MARGIN, D(20)) == 171_67


@pytest.mark.parametrize(
    ("rule", "amount", "tax"),
    [
        (TaxRule.NZ_GST, 100_00, 13_04),  # NZ2, published
        (TaxRule.NZ_GST, 160_00, 20_87),  # NZ1: the page prints 20.86, truncated
        (TaxRule.AU_GST, 880_00, 80_00),  # ATO ID 2002/8: an eleventh of 880
        (TaxRule.AU_GST, 660_00, 60_00),
        (TaxRule.DE_MARGIN, 200_00, 31_93),  # a help page's 200 at 19/119
    ],
)
def test_an_extra_at_the_standard_rate_holds_the_published_tax(rule: TaxRule, amount: int, tax: int) -> None:
    assert add_up([extra(amount)], rule, DAY).tax_minor == tax


def test_tax_is_rounded_once_a_rate_and_not_once_a_line() -> None:
    """Three lines of 1.00 at 20 % hold 0.1667 each: 0.51 line by line, 0.50 as EN 16931 rounds (M-44)."""
    sold = add_up([extra(1_00)] * 3, TaxRule.UK_MARGIN, DAY)

    assert [(line.gross_minor, line.tax_minor) for line in sold.apart] == [(3_00, 50)]


def test_each_rate_stands_for_itself() -> None:
    sold = add_up([extra(11_90), extra(10_70, "OTHER", "7"), extra(8_00, "OTHER", "0.0")], TaxRule.DE_MARGIN, DAY)

    rates = [(line.rate_percent, line.gross_minor, line.tax_minor) for line in sold.apart]
    assert rates == [(D("0.0"), 8_00, 0), (D(7), 10_70, 70), (D(19), 11_90, 1_90)]
    assert (sold.total_minor, sold.tax_minor) == (30_60, 2_60)


@pytest.mark.parametrize("rule", [TaxRule.NONE, TaxRule.NOT_REGISTERED, TaxRule.US_SALES_TAX])
def test_without_tax_inside_prices_no_extra_holds_any(rule: TaxRule) -> None:
    assert add_up([extra(24_00), extra(9_00, "NONE")], rule, DAY).tax_minor == 0


def test_a_rate_is_never_made_up() -> None:
    with pytest.raises(NoRate):
        add_up([extra(24_00)], TaxRule.FULL_VAT, DAY, "CH")


@pytest.mark.parametrize(
    "wrong",
    [
        {"amount_minor": -1, "tax": ExtraTax.STANDARD},
        {"amount_minor": 1, "tax": ExtraTax.STANDARD, "cost_minor": -1},
        {"amount_minor": 1, "tax": ExtraTax.OTHER},
        {"amount_minor": 1, "tax": ExtraTax.MACHINE, "rate_percent": D(7)},
    ],
)
def test_an_extra_that_cannot_be(wrong) -> None:
    with pytest.raises(ValueError, match=r"below zero|rate"):
        Extra(**wrong)


RULES = st.sampled_from([TaxRule.UK_MARGIN, TaxRule.UK_GLOBAL, TaxRule.AU_GST, TaxRule.NZ_GST, TaxRule.NOT_REGISTERED])
AN_EXTRA = st.builds(
    extra,
    st.integers(0, 80_00),
    st.sampled_from(["STANDARD", "MACHINE"]),
    cost=st.integers(0, 60_00),
)


@settings(max_examples=60, deadline=None)
@given(RULES, st.lists(AN_EXTRA, max_size=4), st.integers(0, 400_00), st.integers(0, 200_00))
def test_the_floor_with_extras_is_the_lowest_price_that_loses_nothing(rule, extras, purchase, costs) -> None:
    """Against a plain search around it: no price of the last 400 below the floor covers everything."""
    terms, sold = Terms(rule, DAY, D("0.10"), D("0.029"), 30), add_up(extras, rule, DAY)
    purse = {"purchase_minor": purchase, "other_costs_minor": costs, "reserve_minor": 600}
    low = floor(**purse, terms=terms, extras=sold).price_minor

    def left(price):
        return profit_at(price, **purse, terms=terms, extras=sold).profit_minor

    assert left(low) >= 0
    assert all(left(price) < 0 for price in range(max(0, low - 400), low))


def test_an_extra_sold_at_what_it_cost_in_tax_and_money_moves_nothing() -> None:
    terms = Terms(TaxRule.UK_MARGIN, DAY)
    sold = add_up([extra(24_00, cost=20_00)], TaxRule.UK_MARGIN, DAY)
    purse = {"purchase_minor": 120_00, "other_costs_minor": 95_00, "reserve_minor": 6_00, "profit_minor": 60_00}

    alone, beside = (price_for_profit(**purse, terms=terms, extras=each) for each in (NOTHING, sold))
    assert alone.price_minor == beside.price_minor


def test_a_receipt_of_a_margin_sale_shows_the_tamper_and_never_the_machine() -> None:
    sold = add_up([extra(24_00), extra(30_00, "MACHINE")], TaxRule.UK_MARGIN, DAY)

    rows = [
        (line.rate_percent, line.gross_minor, line.tax_minor) for line in shown(1500_00, sold, TaxRule.UK_MARGIN, DAY)
    ]
    assert rows == [(20, 24_00, 4_00)]


@pytest.mark.parametrize(
    ("rule", "machine", "tax"),
    [(TaxRule.AU_GST, 660_00, 60_00), (TaxRule.NZ_GST, 100_00, 13_04)],  # ATO ID 2002/8; NZ2
)
def test_a_receipt_on_the_full_price_shows_the_published_tax(rule: TaxRule, machine: int, tax: int) -> None:
    assert [line.tax_minor for line in shown(machine, NOTHING, rule, DAY)] == [tax]


def test_machine_and_extras_of_one_rate_are_rounded_together() -> None:
    """0.05 and 0.05 at 15 % hold 0.0065 each: 0.01 twice apart, 0.01 once together (M-44)."""
    sold = add_up([extra(5)], TaxRule.NZ_GST, DAY)

    assert [(line.gross_minor, line.tax_minor) for line in shown(5, sold, TaxRule.NZ_GST, DAY)] == [(10, 1)]


def test_without_a_tax_scheme_a_receipt_shows_none() -> None:
    assert shown(100_00, add_up([extra(5, "NONE")], TaxRule.NONE, DAY), TaxRule.NONE, DAY) == ()
