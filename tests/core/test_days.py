"""A day that is typed: a year that only a slip of the finger writes is refused on every page."""

from datetime import date
from pathlib import Path

import pytest
from django import forms
from django.conf import settings

from workshop.core.forms import ActForm, DayField

ROOMS = ("workshop", "intake", "handover")


class DayForm(ActForm):
    on = DayField(label="On")
    born_on = DayField(label="Born", required=False, earliest=date(1900, 1, 1))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("9999-12-31", "This is after the year 2099. Check the year."),
        ("2100-01-01", "This is after the year 2099. Check the year."),
        ("1999-12-31", "This is before the year 2000. Check the year."),
        ("0026-05-12", "This is before the year 2000. Check the year."),
        ("20266-05-12", "This is not a date. Type one like 2026-05-12."),
    ],
)
def test_a_year_that_cannot_be_meant_is_refused(typed, said):
    assert DayForm({"on": typed}).errors == {"on": [said]}


def test_a_birthday_may_lie_before_the_workshops_own_years():
    assert DayForm({"on": "2026-05-12", "born_on": "1961-03-09"}).is_valid()
    assert DayForm({"on": "2026-05-12", "born_on": "1861-03-09"}).errors == {
        "born_on": ["This is before the year 1900. Check the year."]
    }


def test_every_day_of_the_house_is_asked_by_this_field():
    assert forms.DateField in DayField.__mro__
    asked = [
        str(path.relative_to(settings.BASE_DIR))
        for room in ROOMS
        for path in Path(settings.BASE_DIR, room).rglob("*.py")
        if "forms.DateField" in path.read_text(encoding="utf-8")
    ]
    assert asked == ["workshop/core/forms/days.py"]
