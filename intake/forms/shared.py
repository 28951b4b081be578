"""Fields that several forms of intake share."""

from typing import Any

from django import forms

OFF = {"autocomplete": "off"}  # a seller's data, not the typist's own
NO_DRAFT = {"data-no-draft": True}  # too private to be kept before it is recorded


class DayField(forms.DateField):
    """A day, with the browser's own date picker."""

    default_error_messages = {"invalid": "This is not a date. Type one like 2026-05-12."}

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}), **kwargs)
