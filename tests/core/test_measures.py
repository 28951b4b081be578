"""How dates are printed: short ones leave out this year, and no other."""

from datetime import UTC, date, datetime

import pytest

from workshop.core.templatetags.measures import short_day


@pytest.mark.parametrize(
    ("value", "printed"),
    [
        (date(2026, 9, 21), "21 September"),
        (date(2025, 9, 30), "30 September 2025"),
        (datetime(2027, 1, 2, 12, tzinfo=UTC), "2 January 2027"),
        (None, ""),
    ],
)
def test_a_short_date_of_another_year_carries_it(value, printed):
    assert short_day(value) == printed
