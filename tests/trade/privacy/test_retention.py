"""How long a name must stand in the book: published days, and silence where nothing was read."""

from datetime import date

import pytest

from workshop.trade.money.rules import TaxRule
from workshop.trade.privacy import retention

NONE = TaxRule.NONE


@pytest.mark.parametrize(
    ("day", "until"),
    [
        # Published (P-01): the return for 2013-14, that is 6 April 2013 to 5 April 2014, to the end of January 2020.
        (date(2013, 4, 6), date(2020, 1, 31)),
        (date(2014, 4, 5), date(2020, 1, 31)),
        (date(2014, 4, 6), date(2021, 1, 31)),
    ],
)
def test_a_british_tax_return(day, until):
    assert retention.last_day("GB", NONE, day) == until


def test_the_longer_of_two_rules_counts():
    # Six years of VAT from 5 April 2014 end on 5 April 2020, after the return's 31 January 2020 (P-06, P-01).
    assert retention.last_day("GB", TaxRule.UK_MARGIN, date(2014, 4, 5)) == date(2020, 4, 5)
    assert retention.last_day("GB", TaxRule.UK_GLOBAL, date(2013, 4, 6)) == date(2020, 1, 31)


def test_no_shorter_than_published_examples_ask():
    # S-65: a record of 1 June 2025 is kept to 1 June 2028 at least; tax asks for longer there.
    assert retention.last_day("NZ", NONE, date(2025, 6, 1)) == date(2032, 12, 31)
    dealer = retention.rules("NZ", NONE)[-1]
    assert dealer.until(date(2025, 6, 1)) == date(2028, 12, 31)
    # P-02: books 10 years.
    assert retention.last_day("DE", TaxRule.NONE, date(2026, 1, 1)) == date(2036, 12, 31)


@pytest.mark.parametrize("place", ["US", "US-TX", "CA", "FR", "", "AU-NSW", "AU-VIC"])
def test_a_place_that_was_not_read_asks_for_advice(place):
    assert "Ask" in retention.not_known(place)


@pytest.mark.parametrize("place", ["GB", "DE", "IE", "NZ", "AU", "au-xx"])
def test_a_place_that_was_read_does_not(place):
    assert retention.not_known(place) == ""


def test_without_any_rule_no_day_is_made_up():
    assert retention.last_day("FR", NONE, date(2026, 1, 1)) is None


@pytest.mark.parametrize("place", ["GB", "AU-VIC", "FR"])
def test_each_line_of_the_table_says_how_long_why_and_where_from(place):
    for row in retention.table(place, TaxRule.UK_MARGIN if place == "GB" else NONE):
        assert all((row.what, row.how_long, row.why, row.source.code))
