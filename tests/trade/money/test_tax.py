"""Tax on second-hand goods against published worked examples and the statutes' own boundaries."""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.money.rounding import round_half_up
from workshop.trade.money.tax import (
    RATES,
    GlobalPeriod,
    NoRate,
    TaxRule,
    credit_minor,
    global_period,
    inside,
    invoice_wording,
    margin_tax_minor,
    on_top_minor,
    rate_on,
    shape_of,
    share_minor,
    shown_tax_minor,
    unfit,
    whole,
)

D = Decimal
DAY = date(2026, 5, 12)
money = st.integers(0, 5_000_00)


@pytest.mark.parametrize(
    ("rule", "purchase", "sale", "tax"),
    [
        # HMRC Notice 718/1 s3.3; a self-employment site prints 166.70 by multiplying by 16.67 %
        (TaxRule.UK_MARGIN, 500_00, 1500_00, 166_67),
        (TaxRule.UK_MARGIN, 500_00, 500_00, 0),
        (TaxRule.UK_MARGIN, 500_00, 300_00, 0),  # still entered in the book, nothing due
        (TaxRule.DE_MARGIN, 20000_00, 18000_00, 0),  # Haufe on section 25a, no. 107
        (TaxRule.DE_MARGIN, 800_00, 1000_00, 31_93),  # a marketplace help page: "about 32"
        (TaxRule.IE_MARGIN, 0, 500_00, 93_50),  # no published example; 500 x 23/123 by formula
        (TaxRule.AU_GST, 880_00, 660_00, 0),  # ATO ID 2002/8: credit 60 against 60
        (TaxRule.AU_GST, 300_00, 220_00, -7_27),  # 66-10(1A): up to 300 not capped, 20.00 - 27.27
        (TaxRule.AU_GST, 300_01, 220_00, 0),  # 66-10(1): above 300 capped
        (TaxRule.NZ_GST, 100_00, 0, -13_04),  # an NZ accountant's page: 13.04 for 100
        (TaxRule.NZ_GST, 160_00, 0, -20_87),  # the same prints 20.86, cut; half up is 20.87
        (TaxRule.FULL_VAT, 500_00, 1200_00, 200_00),  # 1200 holds 1/6
        (TaxRule.NOT_REGISTERED, 100_00, 900_00, 0),
        (TaxRule.NONE, 100_00, 900_00, 0),
        (TaxRule.US_SALES_TAX, 100_00, 900_00, 0),  # on top, never inside
    ],
)
def test_published_examples(rule: TaxRule, purchase: int, sale: int, tax: int) -> None:
    assert margin_tax_minor(purchase, sale, rule, DAY, "GB") == tax


def test_restoration_stays_outside_the_margin() -> None:
    # the published example spends 500 on restoration; a margin that took it off would give 83.33
    assert margin_tax_minor(500_00, 1500_00, TaxRule.UK_MARGIN, DAY) == 166_67
    assert margin_tax_minor(1000_00, 1500_00, TaxRule.UK_MARGIN, DAY) == 83_33


def test_the_australian_credit_is_the_lesser() -> None:
    # ATO ID 2002/8: a car bought for 880 and sold for 660; 1/11 of 880 is 80, the tax on 660 is 60
    assert share_minor(880_00, D(10)) == 80_00
    assert credit_minor(880_00, 60_00, TaxRule.AU_GST, D(10)) == 60_00
    assert credit_minor(880_00, 60_00, TaxRule.UK_MARGIN, D(20)) == 0


def test_the_australian_cap_begins_above_300_dollars() -> None:
    # 66-10(1) "more than $300"; 66-10(1A) up to it
    assert [shape_of(TaxRule.AU_GST, paid, D(10)).capped for paid in (300_00, 300_01)] == [False, True]


@pytest.mark.parametrize(
    ("sales", "purchases", "brought", "expected"),
    [
        (20000_00, 8000_00, 0, GlobalPeriod(12000_00, 2000_00, 0)),  # a self-employment site's global example
        (3000_00, 8000_00, 0, GlobalPeriod(0, 0, 5000_00)),
        (9000_00, 1000_00, 5000_00, GlobalPeriod(3000_00, 500_00, 0)),  # SI 1995/1268 art. 13(5)
    ],
)
def test_global_accounting(sales: int, purchases: int, brought: int, expected: GlobalPeriod) -> None:
    assert global_period(sales, purchases, brought, D(20)) == expected


def test_canadian_court_figures_round_as_ours() -> None:
    # Fedak, TCC 97-3163 (1999): 6,000 x 7/107 = 392.52; 21,995 x 7 % = 1,539.65
    assert share_minor(6000_00, D(7)) == 392_52
    assert on_top_minor(21995_00, D(7)) == 1539_65


@pytest.mark.parametrize(
    ("rate", "fraction"),
    [("20", (1, 6)), ("19", (19, 119)), ("21", (21, 121)), ("23", (23, 123)), ("15", (3, 23)), ("10", (1, 11))],
)
def test_tax_fractions(rate: str, fraction: tuple[int, int]) -> None:
    assert inside(D(rate)) == Fraction(*fraction)  # HMRC, IRD and ATO print these fractions


@pytest.mark.parametrize(
    ("rule", "day", "rate"),
    [
        (TaxRule.DE_MARGIN, date(2020, 6, 30), "19"),
        (TaxRule.DE_MARGIN, date(2020, 7, 1), "16"),
        (TaxRule.DE_MARGIN, date(2020, 12, 31), "16"),
        (TaxRule.DE_MARGIN, date(2021, 1, 1), "19"),
        (TaxRule.IE_MARGIN, date(2020, 9, 1), "21"),
        (TaxRule.UK_MARGIN, DAY, "20"),
        (TaxRule.UK_GLOBAL, DAY, "20"),
        (TaxRule.AU_GST, DAY, "10"),
        (TaxRule.NZ_GST, DAY, "15"),
        (TaxRule.NONE, date(1990, 1, 1), "0"),
    ],
)
def test_the_rate_of_the_day(rule: TaxRule, day: date, rate: str) -> None:
    assert rate_on(rule, day).rate_percent == D(rate)


def test_a_full_rate_goes_by_the_country() -> None:
    assert [rate_on(TaxRule.FULL_VAT, DAY, place).rate_percent for place in ("GB", "DE", "IE", "GB-SCT")] == [
        D(20),
        D(19),
        D(23),
        D(20),
    ]


@pytest.mark.parametrize(
    ("rule", "day", "country"),
    [(TaxRule.FULL_VAT, DAY, None), (TaxRule.FULL_VAT, DAY, "FR"), (TaxRule.UK_MARGIN, date(2005, 1, 1), None)],
)
def test_a_rate_that_is_not_known_is_never_guessed(rule: TaxRule, day: date, country: str | None) -> None:
    with pytest.raises(NoRate, match="No rate is known"):
        rate_on(rule, day, country)


def test_rates_of_one_rule_join_without_gap_or_overlap() -> None:
    keys = sorted({(rate.rule, rate.country or "") for rate in RATES})
    for rule, country in keys:
        spans = sorted(
            (rate.valid_from, rate.valid_to) for rate in RATES if (rate.rule, rate.country or "") == (rule, country)
        )
        joins = [(end + timedelta(days=1) if end else None) for _, end in spans]
        assert [start for start, _ in spans[1:]] == joins[:-1]
        assert joins[-1] is None


def test_every_rule_has_a_label_and_words() -> None:
    assert len({rule.label for rule in TaxRule}) == len(TaxRule) == 10
    assert [invoice_wording(rule).rule for rule in TaxRule] == list(TaxRule)
    assert [rule.value for rule in TaxRule] == [rule.name for rule in TaxRule]  # stored in rows: never changed


def test_invoice_words_of_the_schemes() -> None:
    # gov.uk on margin-scheme records; UStG section 14a(6)
    assert invoice_wording(TaxRule.UK_MARGIN).words == "margin scheme - second hand goods"
    assert invoice_wording(TaxRule.UK_GLOBAL).words == "margin scheme - second hand goods"
    assert invoice_wording(TaxRule.DE_MARGIN).words == "Gebrauchtgegenstände/Sonderregelung"


def test_a_margin_sale_shows_no_tax() -> None:
    # Peppol BIS 3 sample vat-category-E: 10 x 120 = 1,200.00 with tax 0.00
    margin = [rule for rule in TaxRule if rule.value.endswith(("_MARGIN", "_GLOBAL"))]
    assert [shown_tax_minor(10 * 120_00, rule, DAY) for rule in margin] == [0, 0, 0, 0]
    assert [invoice_wording(rule).shows_tax for rule in margin] == [False] * 4
    assert shown_tax_minor(1200_00, TaxRule.FULL_VAT, DAY, "GB") == 200_00
    assert shown_tax_minor(660_00, TaxRule.AU_GST, DAY) == 60_00


def test_global_accounting_takes_nothing_above_500_pounds() -> None:
    # HMRC VATMARG03200: at 500 or less
    assert unfit(TaxRule.UK_GLOBAL, 500_00) == ""
    assert unfit(TaxRule.UK_GLOBAL, 500_01).startswith("Bought for more than £500")
    assert unfit(TaxRule.UK_MARGIN, 900_00) == ""


@settings(deadline=None)
@given(money, money)
def test_a_margin_scheme_never_taxes_more_than_the_margin(purchase: int, sale: int) -> None:
    tax = margin_tax_minor(purchase, sale, TaxRule.UK_MARGIN, DAY)
    assert tax == round_half_up(D(max(0, sale - purchase)) / 6)


@settings(deadline=None)
@given(money, money, st.sampled_from(sorted(set(TaxRule) - {TaxRule.FULL_VAT})))
def test_the_exact_shape_and_the_booked_tax_agree_within_a_coin(purchase: int, sale: int, rule: TaxRule) -> None:
    exact = shape_of(rule, purchase, rate_on(rule, DAY).rate_percent).tax(Fraction(sale))
    assert abs(margin_tax_minor(purchase, sale, rule, DAY) - exact) <= 1


@settings(deadline=None)
@given(st.fractions(min_value=-(10**12), max_value=10**12))
def test_rounding_a_fraction_keeps_its_half(amount: Fraction) -> None:
    away = (abs(amount) + Fraction(1, 2)).__floor__()
    assert whole(amount) == (away if amount >= 0 else -away)


@pytest.mark.parametrize(("purchase", "sale"), [(-1, 5), (5, -1)])
def test_a_price_below_zero_is_refused(purchase: int, sale: int) -> None:
    with pytest.raises(ValueError, match="below zero"):
        margin_tax_minor(purchase, sale, TaxRule.UK_MARGIN, DAY)
