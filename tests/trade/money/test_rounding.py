"""Minor units and the one rounding, against tax offices' rules and the ISO 4217 list."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.money.rounding import MINOR_DIGITS, SYMBOL, from_minor, minor_digits, round_half_up, say, to_minor

D = Decimal

# HMRC VATREC12030: below 0.5p down, 0.5p and over up. The negative ones: half away from zero, as a credit note
# mirrors its invoice.
ROUNDED = [("12.49", 12), ("12.5", 13), ("13.5", 14), ("0.5", 1), ("-12.5", -13), ("-12.49", -12), ("0", 0)]


@pytest.mark.parametrize(("value", "rounded"), ROUNDED)
def test_half_a_penny_goes_up(value: str, rounded: int) -> None:
    assert round_half_up(D(value)) == rounded


@pytest.mark.parametrize(
    ("text", "minor"),
    # the classic traps: half-even gives 12 and 100, binary floats give 267
    [("0.125", 13), ("1.005", 101), ("-0.125", -13), ("2.675", 268), (" 520 ", 52000), (".5", 50), ("7.", 700)],
)
def test_text_in_pounds_to_pence(text: str, minor: int) -> None:
    assert to_minor(text, "GBP") == minor


@pytest.mark.parametrize("text", ["", "twelve", "1,5", "£5", "1e3", "nan", "Infinity", "--5", ".", "1_000", "٣"])
def test_what_is_not_an_amount_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not an amount"):
        to_minor(text, "GBP")


@pytest.mark.parametrize("odd", ["NaN", "Infinity"])
def test_no_rounding_of_what_is_no_number(odd: str) -> None:
    with pytest.raises(ValueError, match="finite"):
        round_half_up(D(odd))
    with pytest.raises(ValueError, match="finite"):
        to_minor(D(odd), "GBP")


# The ISO 4217 list as the iso4217 package 1.16.20260101 gives it.
DIGITS = {"JPY": 0, "KRW": 0, "ISK": 0, "CLP": 0, "UGX": 0, "VND": 0, "GBP": 2, "EUR": 2, "USD": 2, "HUF": 2}
DIGITS |= {"AUD": 2, "NZD": 2, "CAD": 2, "CHF": 2, "DKK": 2, "NOK": 2, "SEK": 2, "KWD": 3, "BHD": 3, "TND": 3}


@pytest.mark.parametrize(("currency", "digits"), DIGITS.items())
def test_minor_digits_are_those_of_iso_4217(currency: str, digits: int) -> None:
    assert minor_digits(currency) == digits
    assert to_minor("7", currency) == 7 * 10**digits


def test_an_unknown_currency_is_named() -> None:
    with pytest.raises(ValueError, match="The currency XQQ is not known here"):
        to_minor("1", "XQQ")


@settings(deadline=None)
@given(st.integers(-(10**14), 10**14), st.sampled_from(sorted(MINOR_DIGITS)))
def test_there_and_back(minor: int, currency: str) -> None:
    assert to_minor(from_minor(minor, currency), currency) == minor
    assert to_minor(str(from_minor(minor, currency)), currency) == minor


@pytest.mark.parametrize(
    ("minor", "currency", "printed"),
    [
        (52000, "GBP", "£520.00"),
        (-125000, "GBP", "-£1,250.00"),
        (5, "EUR", "€0.05"),
        (900, "JPY", "¥900"),
        (52000, "CHF", "CHF\u00a0520.00"),
        (52000, "SEK", "kr\u00a0520.00"),
        (1234567, "KWD", "KWD\u00a01,234.567"),
        (0, "AUD", "$0.00"),
    ],
)
def test_an_amount_as_printed(minor: int, currency: str, printed: str) -> None:
    assert say(minor, currency) == printed


def test_every_symbol_belongs_to_a_known_currency() -> None:
    assert sorted(SYMBOL) == sorted(currency for currency in SYMBOL if currency in MINOR_DIGITS)
