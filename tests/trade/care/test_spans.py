"""Spans in words and dates at the ends of months and over leap years."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.care.spans import SpanUnit, add_months, after, month_days, neat_days, read_days, span

DAYS = st.integers(1, 2000)


@pytest.mark.parametrize(
    ("days", "first", "then"),
    [
        (1, "day 1", "every day"),
        (7, "week 1", "every week"),
        (10, "day 10", "every 10 days"),
        (14, "week 2", "every 2 weeks"),
        (30, "month 1", "every month"),
        (42, "week 6", "every 6 weeks"),
        (45, "day 45", "every 45 days"),
        (60, "month 2", "every 2 months"),
        (70, "week 10", "every 10 weeks"),
        (90, "month 3", "every 3 months"),
        (91, "month 3", "every 3 months"),
        (180, "month 6", "every 6 months"),
        (182, "month 6", "every 6 months"),
        (365, "month 12", "every year"),
        (730, "month 24", "every 2 years"),
    ],
)
def test_spans_read_as_people_say_them(days, first, then):
    assert (span(days).first_words, span(days).then_words) == (first, then)


def test_a_span_under_a_day_is_refused():
    with pytest.raises(ValueError, match="at least one day"):
        span(0)


def test_months_in_days():
    # 400 Gregorian years are 146,097 days.
    assert [month_days(n) for n in (1, 2, 3, 6, 12, 24, 4800)] == [30, 60, 91, 182, 365, 730, 146097]


@pytest.mark.parametrize(
    ("days", "neat"),
    [
        *((1, 1), (13, 13), (14, 14), (20, 14), (29, 28), (30, 30), (34, 30), (35, 35), (59, 56), (60, 60)),
        *((90, 90), (91, 91), (120, 120), (121, 121), (180, 180), (181, 180), (200, 182), (364, 334)),
        (365, 365),
    ],
)
def test_neat_repeats_round_down(days, neat):
    assert neat_days(days) == neat


@given(DAYS)
def test_a_neat_repeat_is_never_longer_and_prints_whole(days):
    neat = neat_days(days)
    assert days - 31 < neat <= days
    assert neat_days(neat) == neat
    assert days < 14 or span(neat).unit is not SpanUnit.DAY


@given(DAYS)
def test_a_longer_wait_never_comes_out_shorter(days):
    assert neat_days(days) <= neat_days(days + 1)


@given(DAYS)
def test_a_span_counts_the_days_it_names_within_the_length_of_a_month(days):
    start = date(2027, 1, 1)
    gone = (after(start, span(days), 1) - start).days
    assert abs(gone - days) <= 4


@pytest.mark.parametrize(
    ("start", "months", "end"),
    [
        (date(2027, 1, 31), 1, date(2027, 2, 28)),
        (date(2028, 1, 31), 1, date(2028, 2, 29)),
        (date(2027, 1, 31), 3, date(2027, 4, 30)),
        (date(2027, 11, 30), 3, date(2028, 2, 29)),
        (date(2028, 2, 29), 12, date(2029, 2, 28)),
        (date(2028, 2, 29), 48, date(2032, 2, 29)),
        (date(2027, 12, 15), 1, date(2028, 1, 15)),
        (date(2099, 12, 31), 2, date(2100, 2, 28)),
    ],
)
def test_months_end_where_the_month_ends(start, months, end):
    assert add_months(start, months) == end


@given(st.dates(date(2000, 1, 1), date(2200, 1, 1)), st.integers(0, 60))
def test_a_month_later_is_in_the_right_month_and_on_the_right_day(start, months):
    end = add_months(start, months)
    assert (end.year * 12 + end.month) - (start.year * 12 + start.month) == months
    is_last_day = (end + timedelta(days=1)).day == 1
    assert end.day == start.day or (is_last_day and end.day < start.day)


def test_repeats_count_from_the_start_not_from_the_short_month():
    step = span(30)
    found = [after(date(2028, 1, 31), step, times) for times in (1, 2, 3)]
    assert found == [date(2028, 2, 29), date(2028, 3, 31), date(2028, 4, 30)]


@pytest.mark.parametrize(
    ("words", "days"),
    [("3 months", 91), ("every week", 7), ("Every 6 Weeks", 42), ("90 days", 90), ("1 year", 365), ("day", 1),
     ("2years", 730), ("10 years", 3652)],
)  # fmt: skip
def test_a_manuals_repeat_is_read(words, days):
    assert read_days(words) == days


@pytest.mark.parametrize(
    "words", ["", "often", "3", "-1 weeks", "0 days", "11 years", "1.5 weeks", "9999 months", "٣ days x"]
)
def test_what_is_no_repeat_is_refused_with_a_sentence(words):
    with pytest.raises(ValueError, match=r"Say it like|between one day"):
        read_days(words)


@given(st.integers(1, 3652))
def test_a_repeat_is_read_back_as_it_is_said(days):
    # 90 days are said as 3 months, which are 91 days: what is said stays the same
    assert span(read_days(span(days).then_words)).then_words == span(days).then_words
