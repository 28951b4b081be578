"""Numbers as people type them: what they can only mean is taken, what may mean two things is asked about."""

import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from django import forms

from workshop.core.forms import ActForm, MeasureField, MoneyField
from workshop.core.templatetags.measures import day, short_day

ROOT = Path(__file__).resolve().parents[2]


class Priced(ActForm):
    price_minor = MoneyField()
    lower_minor = MoneyField(required=False, minimum_minor=None)


class Measured(ActForm):
    dose_g = MeasureField(unit="g", max_digits=5, decimal_places=1, min_value=0, max_value=40)
    drinks = forms.IntegerField(min_value=1, max_value=20)


@pytest.mark.parametrize(
    ("typed", "currency", "minor"),
    [
        ("85", "GBP", 8500),
        ("85.5", "GBP", 8550),
        ("85,50", "EUR", 8550),
        ("£85.00", "GBP", 8500),
        ("1,234.56", "GBP", 123456),
        ("1.234,56", "EUR", 123456),
        ("1 234,56", "EUR", 123456),
        ("1'234.50", "CHF", 123450),
        ("1,234,567", "GBP", 123456700),
        ("12,345", "JPY", 12345),
        ("1.234", "KWD", 1234),
        (".5", "GBP", 50),
    ],
)
def test_an_amount_is_read_as_it_can_only_be_meant(typed, currency, minor):
    form = Priced({"price_minor": typed}, currency=currency)

    assert form.is_valid(), form.errors
    assert form.cleaned_data["price_minor"] == minor


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("1,234", "Is this 1234? Type it without the mark: 1234 or 1234.00."),
        ("1.234", "Is this 1234? Type it without the mark: 1234 or 1234.00."),
        ("12.345", "Is this 12345? Type it without the mark: 12345 or 12345.00."),
        ("85.505", "Is this 85505? Type it without the mark: 85505 or 85505.00."),
        ("1234.567", "This has more than 2 figures after the point. Type one like 85.00."),
        ("12,34,5", "This has two decimal points. Type one, like 85.00."),
        ("1,23.50", "This has two decimal points. Type one, like 85.00."),
        ("12O", "This is not an amount. Type one like 85.00."),
        ("1e5", "This is not an amount. Type one like 85.00."),
        ("٣", "This is not an amount. Type one like 85.00."),
        ("-5", "This amount cannot be below zero."),
        ("9999999999999", "This amount is too large. Check the figures."),
    ],
)
def test_an_amount_that_may_mean_two_things_is_asked_about(typed, sentence):
    form = Priced({"price_minor": typed}, currency="GBP")

    assert form.errors["price_minor"] == [sentence]


def test_a_browser_gets_a_text_box_for_numbers_since_its_own_number_box_drops_a_decimal_comma():
    page = Measured().as_p()

    assert 'type="number"' not in page
    assert 'inputmode="decimal"' in page
    assert 'inputmode="numeric"' in page


def test_a_measure_takes_a_decimal_comma_and_a_typed_unit():
    form = Measured({"dose_g": "17,5 g", "drinks": "4"})

    assert form.is_valid(), form.errors
    assert form.cleaned_data["dose_g"] == Decimal("17.5")


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("dose_g", "41", "This is over 40. Check the figure."),
        ("dose_g", "-1", "This is under 0. Check the figure."),
        ("dose_g", "17.55", "This has too many figures after the point: 1 at most."),
        ("drinks", "0", "This is under 1. Check the figure."),
        ("drinks", "2,5", "This is not a whole number. Type one like 2."),
    ],
)
def test_a_refused_number_says_what_is_wrong_in_the_houses_words(name, typed, sentence):
    form = Measured({"dose_g": "17", "drinks": "4", name: typed})

    assert form.errors[name] == [sentence]


def test_an_amount_in_a_currency_nobody_knows_waits_for_the_currency():
    form = Priced({"price_minor": "85"}, currency=" ")

    assert form.errors["price_minor"] == ["Choose the currency first, then type the amount again."]


def test_a_day_is_written_without_a_leading_nought_wherever_it_is_written():
    assert (day(date(2026, 12, 2)), short_day(date(2026, 12, 2))) == ("2 December 2026", "2 December")
    rooms = [path for room in ("workshop", "intake", "handover") for path in (ROOT / room).rglob("*.py")]
    padded = [path.name for path in rooms if re.search(r"%d[ .](%B|%b)", path.read_text())]

    assert padded == []


def test_a_box_that_a_form_has_only_sometimes_speaks_as_the_others_do():
    form = Priced(currency="JPY")
    form.add("qty", forms.IntegerField(required=False, min_value=1))
    form.add("worth_minor", MoneyField(required=False))

    page = form.as_p()
    assert 'type="number"' not in page
    assert form.fields["worth_minor"].clean("900") == 900
    assert 'data-currency="¥"' in str(form["worth_minor"])
