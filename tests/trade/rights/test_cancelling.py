"""The last day to cancel, counted by hand on a calendar; the days and their rules from the sources L-01 to L-09."""

from datetime import date

import pytest

from workshop.trade.rights import cancelling
from workshop.trade.rights.cancelling import Right, cancel_by, rule_for
from workshop.trade.sources import Seen


@pytest.mark.parametrize(
    ("place", "rule"),
    [
        ("GB", cancelling.GB),
        ("GB-SCT", cancelling.GB),
        ("DE", cancelling.EU),
        ("IE", cancelling.EU),
        (" fr ", cancelling.EU),
        ("NZ", cancelling.NZ),
        ("AU-VIC", cancelling.AU),
        ("US", cancelling.US),
        ("CH", cancelling.ELSEWHERE),
        ("CA-ON", cancelling.ELSEWHERE),
        ("", cancelling.ELSEWHERE),
    ],
)
def test_the_rule_follows_the_place(place, rule):
    assert rule_for(place) is rule


# 14 days after the day it is in the buyer's hands (L-01, L-03): that day itself is not counted.
@pytest.mark.parametrize(
    ("place", "delivered", "last"),
    [
        ("GB", date(2026, 3, 2), date(2026, 3, 16)),  # Monday to Monday
        ("GB", date(2026, 3, 7), date(2026, 3, 21)),  # a Saturday stays one: no rule that moves it was read
        ("DE", date(2026, 3, 2), date(2026, 3, 16)),
        ("DE", date(2026, 3, 7), date(2026, 3, 23)),  # Saturday 21 moves to Monday 23 (L-05)
        ("DE", date(2026, 3, 8), date(2026, 3, 23)),  # Sunday 22 too
        ("IE", date(2026, 2, 20), date(2026, 3, 6)),  # over the end of February, a Friday
    ],
)
def test_fourteen_days_after_the_day_it_arrived(place, delivered, last):
    assert cancel_by(rule_for(place), delivered, delivered) == last


def test_told_before_it_arrived_is_counted_from_the_arrival():
    assert cancel_by(cancelling.GB, date(2026, 3, 2), date(2026, 2, 1)) == date(2026, 3, 16)


def test_untold_the_time_runs_twelve_months_longer():
    assert cancel_by(cancelling.GB, date(2026, 3, 2), None) == date(2027, 3, 16)


def test_told_late_it_is_fourteen_days_from_then_and_never_longer_than_untold():
    assert cancel_by(cancelling.GB, date(2026, 3, 2), date(2026, 6, 1)) == date(2026, 6, 15)
    assert cancel_by(cancelling.GB, date(2026, 3, 2), date(2027, 3, 15)) == date(2027, 3, 16)


@pytest.mark.parametrize("place", ["NZ", "AU-NSW", "US", "CH", ""])
def test_no_date_is_made_up_where_no_rule_gives_one(place):
    rule = rule_for(place)

    assert cancel_by(rule, date(2026, 3, 2), None) is None
    assert rule.right is not Right.GIVEN


def test_what_was_not_read_says_ask_local_advice():
    rule = rule_for("CH")

    assert rule.right is Right.UNKNOWN
    assert "Ask local advice" in rule.rule
    assert rule.source.seen is Seen.HOUSE
