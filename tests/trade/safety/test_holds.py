"""How long the law makes a dealer wait, by place."""

from datetime import date

import pytest

from workshop.trade.safety.holds import hold_until


@pytest.mark.parametrize("code", ["NSW", "AU-NSW", " au-nsw "])
def test_new_south_wales_waits_14_days_before_sale_but_may_work(code):
    # fairtrading.nsw.gov.au, check value 16: intake 1 March, earliest sale 15 March.
    rule = hold_until(code, date(2026, 3, 1))
    assert (rule.days, rule.until, rule.blocks_work) == (14, date(2026, 3, 15), False)


def test_victoria_keeps_it_7_days_as_received():
    # consumer.vic.gov.au, keeping records; over a leap day.
    rule = hold_until("AU-VIC", date(2028, 2, 25))
    assert (rule.days, rule.until, rule.blocks_work) == (7, date(2028, 3, 3), True)


def test_new_zealand_keeps_it_14_days_unaltered():
    # justice.govt.nz. Every day of a plain fortnight gives the same 14 days.
    for day in range(1, 15):
        rule = hold_until("NZ", date(2026, 6, day))
        assert (rule.days, rule.until, rule.blocks_work) == (14, date(2026, 6, day + 14), True)


def test_new_zealand_holidays_push_the_later_date_out():
    # The Act counts 10 working days: two holidays on weekdays add two days, one on a Saturday none.
    easter = (date(2026, 4, 3), date(2026, 4, 6))
    assert hold_until("NZ", date(2026, 3, 30), holidays=easter).until == date(2026, 4, 15)
    assert hold_until("NZ", date(2026, 3, 30), holidays=[date(2026, 4, 4)]).until == date(2026, 4, 13)


@pytest.mark.parametrize("code", ["GB", "DE", "US", "AU-QLD", "AU", ""])
def test_no_hold_is_invented_where_no_rule_was_read(code):
    rule = hold_until(code, date(2026, 3, 1))
    assert (rule.days, rule.until, rule.blocks_work) == (0, None, False)
    assert rule.words.startswith("No hold is known to us")
