"""One cell: a value, or a sentence that says what is wrong and how to mend it."""

from datetime import date
from decimal import Decimal

import pytest

from workshop.desk.past import columns, values
from workshop.desk.past.values import Reading, Wrong


def read(code, cell, currency="GBP", *, month_first=False, kind="SALES"):
    return values.value(columns.column(kind, code), cell, Reading(currency, month_first))


def wrong(code, cell, *args, **how):
    with pytest.raises(Wrong) as refused:
        read(code, cell, *args, **how)
    return str(refused.value)


@pytest.mark.parametrize(
    ("cell", "currency", "minor"),
    [
        ("85", "GBP", 8500),
        ("85.5", "GBP", 8550),
        ("85,50", "GBP", 8550),
        ("£1,234.50", "GBP", 123450),
        ("1.234,50 €", "EUR", 123450),
        ("1 234,50", "EUR", 123450),
        ("1'234.50", "CHF", 123450),
        ("CHF 85.05", "CHF", 8505),
        ("1,234,567", "GBP", 123456700),
        ("1,234", "JPY", 1234),
        ("1.234", "KWD", 1234),
        ("0", "GBP", 0),
    ],
)
def test_amounts_as_people_write_them(cell, currency, minor):
    assert read("price_sold", cell, currency) == minor


@pytest.mark.parametrize(
    ("cell", "words"),
    [
        ("12O", "the price sold “12O” is not an amount. Type digits, like 85.00."),
        ("1,234", "can be read two ways"),
        ("€85", "is in another currency. Type what it was in GBP."),
        ("85 USD", "is in another currency"),
        ("-5", "is below zero"),
        ("=B2*2", "is a formula. Formulas are not worked out here: type its value."),
        ("85.505.1", "is not an amount"),
        ("1,23,45", "is not an amount"),
        ("85.5000", "is not an amount"),
        ("99999999999999", "is too large"),
        ("٨٥", "is not an amount"),
        ("NaN", "is not an amount"),
        ("1e9", "is not an amount"),
        ("", "Price sold is empty."),
    ],
)
def test_what_is_no_amount_is_said(cell, words):
    assert words in wrong("price_sold", cell)


@pytest.mark.parametrize(
    ("cell", "month_first", "day"),
    [
        ("2026-04-03", False, date(2026, 4, 3)),
        ("2026-04-03 00:00:00", True, date(2026, 4, 3)),
        ("03/04/2026", False, date(2026, 4, 3)),
        ("03/04/2026", True, date(2026, 3, 4)),
        ("3.4.2026", False, date(2026, 4, 3)),
        ("3 April 2026", False, date(2026, 4, 3)),
    ],
)
def test_days_as_people_write_them(cell, month_first, day):
    assert read("sold_on", cell, month_first=month_first) == day


@pytest.mark.parametrize(
    ("cell", "words"),
    [
        ("04/25/2026", "is no date read day first"),
        ("2026-02-30", "is no day of the calendar"),
        ("03/04/26", "is not a date"),
        ("46115", "is not a date"),
        ("1026-04-03", "is before 1950"),
        ("=TODAY()", "is a formula"),
    ],
)
def test_what_is_no_day_is_said(cell, words):
    assert words in wrong("sold_on", cell)


def test_the_order_of_dates_is_asked_only_where_there_are_such_dates():
    assert values.date_order(["2026-04-03", "85"], usual_month_first=True) is None
    assert values.date_order(["03/04/2026"], usual_month_first=True) is True
    assert values.date_order(["03/04/2026", "25/04/2026"], usual_month_first=True) is False
    assert values.date_order(["04/25/2026"], usual_month_first=False) is True


def test_the_other_columns():
    assert read("kind", "heat-exchanger") == "HEAT_EXCHANGER"
    assert "Type one of: single boiler" in wrong("kind", "steam engine")
    assert read("score", "7,5") == Decimal("7.5")
    assert "from 0 to 10" in wrong("score", "10.5")
    assert read("minutes", "210") == 210
    assert "whole number of minutes" in wrong("minutes", "3.5 h")
    assert "is more than 100,000 minutes" in wrong("minutes", "999999")
    assert [read("not_mended", cell) for cell in ("Yes", "x", "no", "")] == [True, True, False, False]
    assert "neither yes nor no" in wrong("not_mended", "maybe")
    assert "At most 60 fit" in wrong("maker", "x" * 61)
    assert read("said", "=it hissed", kind="STOCK") == "=it hissed"


def test_headings_are_guessed_each_once():
    assert columns.guess("STOCK", ["BRAND", "model", "Cost", "cost", "date bought", "Colour"]) == {
        "maker": 0,
        "model": 1,
        "price_paid": 2,
        "bought_on": 4,
    }
    assert columns.missing("STOCK", {"maker": 0}) == ["Model", "Price paid", "Bought on"]


@pytest.mark.parametrize(("cell", "hours"), [("6", "6"), ("3.5", "3.5"), ("1,25", "1.25"), ("", None)])
def test_hours_are_read_with_a_point_or_a_comma(cell, hours):
    assert read("hours", cell) == (Decimal(hours) if hours else None)


@pytest.mark.parametrize("cell", ["6 h", "-1", "six", "99999"])
def test_what_are_no_hours_is_said(cell):
    assert "hours" in wrong("hours", cell)
