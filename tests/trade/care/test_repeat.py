"""What a calendar is told to repeat falls on the dates that the paper prints: checked with dateutil over ten years."""

from datetime import date, datetime, time, timedelta

import pytest
from dateutil.rrule import DAILY, MONTHLY, WEEKLY, rrule

from workshop.trade.care.calendar import next_on, occurrences, repeat
from workshop.trade.care.spans import SpanUnit, month_days

FREQUENCY = {SpanUnit.DAY: DAILY, SpanUnit.WEEK: WEEKLY, SpanUnit.MONTH: MONTHLY}
TEN_YEARS = timedelta(days=3653)
EVERY = [10, 14, 21, 42, *(month_days(months) for months in (1, 2, 3, 6, 12, 24))]
TWO_YEARS = [date(2027, 1, 1) + timedelta(days=days) for days in range(366 + 365)]  # 2028 is a leap year


def by_dateutil(every_days: int, start: date) -> list[date]:
    """Return ten years of dates as an independent library counts them."""
    again, first = repeat(every_days, start), occurrences(every_days, start, 1)[0]
    days = {"bymonthday": again.month_days} if again.month_days else {}
    last = {"bysetpos": -1} if len(again.month_days) > 1 else {}
    begin = datetime.combine(first, time())
    rule = rrule(FREQUENCY[again.unit], dtstart=begin, interval=again.every, until=begin + TEN_YEARS, **days, **last)
    return [moment.date() for moment in rule]


@pytest.mark.parametrize("every_days", EVERY)
def test_every_start_in_two_years_keeps_its_dates_for_ten(every_days):
    for start in TWO_YEARS if every_days > 27 else TWO_YEARS[::31]:
        told = by_dateutil(every_days, start)
        assert told == list(occurrences(every_days, start, len(told))), start


def test_a_monthly_task_of_the_31st_falls_on_each_last_day():
    told = by_dateutil(30, date(2028, 1, 31))
    assert [str(day) for day in told[:4]] == ["2028-02-29", "2028-03-31", "2028-04-30", "2028-05-31"]


@pytest.mark.parametrize(
    ("day", "days"),
    [(28, ()), (29, (28, 29)), (30, (28, 29, 30)), (31, (-1,))],
)
def test_only_late_days_need_more_than_the_plain_rule(day, days):
    assert repeat(30, date(2027, 1, day)).month_days == days


def test_a_yearly_task_says_more_only_on_leap_day():
    assert repeat(365, date(2027, 5, 31)).month_days == ()
    assert repeat(365, date(2028, 2, 29)).month_days == (28, 29)


@pytest.mark.parametrize("every_days", EVERY)
def test_the_next_date_is_the_first_that_has_not_passed(every_days):
    start = date(2027, 1, 31)
    dates = occurrences(every_days, start, 60)
    for today in (start, *(day + timedelta(days=off) for day in dates[:50] for off in (-1, 0, 1))):
        assert next_on(every_days, start, today) == min(day for day in dates if day >= today)


def test_no_repeat_under_a_day():
    with pytest.raises(ValueError, match="at least one day"):
        repeat(0, date(2027, 1, 1))
