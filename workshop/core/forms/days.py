"""A day, typed or picked: never of a year that only a slip of the finger writes."""

from datetime import date
from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator

# A figure too many or too few in the year: sums of dates end with the year 9999, and no workshop's book begins with
# the year 26. What a day means may narrow it further, where its act is. House policy.
EARLIEST, LATEST = date(2000, 1, 1), date(2099, 12, 31)


class DayField(forms.DateField):
    """A day, with the browser's own date picker. `earliest`: for days of another life, like a birthday."""

    default_error_messages = {"invalid": "This is not a date. Type one like 2026-05-12."}

    def __init__(self, *, earliest: date = EARLIEST, **kwargs: Any) -> None:
        super().__init__(widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}), **kwargs)
        self.validators += [MinValueValidator(earliest), MaxValueValidator(LATEST)]
        self.error_messages["min_value"] = f"This is before the year {earliest.year}. Check the year."
        self.error_messages["max_value"] = f"This is after the year {LATEST.year}. Check the year."
