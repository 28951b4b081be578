"""The care calendar on paper: dates when there is a start, words when there is none."""

from datetime import date
from decimal import Decimal

import pytest

from workshop.trade.care.calendar import after_use, dated, occurrences
from workshop.trade.care.intervals import CareInputs, tasks

HOME = tasks(
    CareInputs(
        drinks_per_day=Decimal(4),
        milk_drinks_per_day=Decimal(2),
        hardness_mg_l=Decimal(280),
        alkalinity_mg_l=Decimal(250),
        kind="HEAT_EXCHANGER",
        has_three_way_valve=True,
        has_grinder=True,
        has_filter=False,
    )
)


def test_before_handing_over_the_sheet_says_week_and_month():
    rows = [(row.code, row.first_on, row.first_words, row.then_words) for row in dated(HOME, None)]
    assert rows == [
        ("DESCALE", None, "week 3", "every 3 weeks"),
        ("SOAK_SCREEN", None, "month 1", "every month"),
        ("BRUSH_GRINDER", None, "month 1", "every month"),
        ("BOILER_WATER", None, "month 3", "every 3 months"),
        ("CHANGE_GASKET", None, "month 12", "every year"),
    ]


@pytest.mark.parametrize(
    ("start", "first_dates"),
    [
        (
            date(2028, 1, 31),  # a leap year
            [date(2028, 2, 21), date(2028, 2, 29), date(2028, 2, 29), date(2028, 4, 30), date(2029, 1, 31)],
        ),
        (
            date(2027, 1, 31),
            [date(2027, 2, 21), date(2027, 2, 28), date(2027, 2, 28), date(2027, 4, 30), date(2028, 1, 31)],
        ),
        (
            date(2028, 2, 29),
            [date(2028, 3, 21), date(2028, 3, 29), date(2028, 3, 29), date(2028, 5, 29), date(2029, 2, 28)],
        ),
    ],
)
def test_first_dates_follow_the_start(start, first_dates):
    assert [row.first_on for row in dated(HOME, start)] == first_dates


def test_words_and_reason_travel_with_the_date():
    row = dated(HOME, date(2027, 3, 1))[0]
    task = next(task for task in HOME if task.code == "DESCALE")
    assert (row.words, row.why) == (task.words, task.why)


def test_habits_stay_out_of_the_calendar_and_nothing_is_lost():
    habits = [task.code for task in after_use(HOME)]
    assert habits == [
        "FLUSH_GROUP",
        "WIPE_WAND",
        "STOOD_A_WEEK",
        "RINSE_HANDLE",
        "PLAIN_BACKFLUSH",
        "DETERGENT_BACKFLUSH",
    ]
    assert habits + [row.code for row in dated(HOME, None)] == [task.code for task in HOME]


def test_a_year_of_months_keeps_the_last_day():
    found = occurrences(30, date(2027, 12, 31), 14)
    assert found[:4] == (date(2028, 1, 31), date(2028, 2, 29), date(2028, 3, 31), date(2028, 4, 30))
    assert found[13] == date(2029, 2, 28)


def test_weeks_run_through_a_leap_day():
    assert occurrences(14, date(2028, 2, 20), 2) == (date(2028, 3, 5), date(2028, 3, 19))
