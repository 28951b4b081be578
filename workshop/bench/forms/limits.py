"""Forms of the limits: our own, why the full set is asked, an outside tester's report, a photo of a part."""

from collections.abc import Iterable
from typing import Any

from django import forms

from intake.upload_form import UploadForm, photos_field
from workshop.bench.cards import Item
from workshop.bench.services.outside import OutsideTyped
from workshop.bench.words import OwnMeasure
from workshop.core.forms import ActForm, DayField, MeasureField
from workshop.core.services import Outside


class OwnLimitForm(ActForm):
    """A limit of our own: either end, or both."""

    measure = forms.ChoiceField(label="On what")
    low = MeasureField(label="Lowest that passes", required=False, min_value=0, max_digits=12, decimal_places=4)
    high = MeasureField(label="Highest that passes", required=False, min_value=0, max_digits=12, decimal_places=4)
    reason = forms.CharField(
        label="Because",
        required=False,
        max_length=120,
        help_text="Wanted only where it is wider than the place's limit. It prints with the reading.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(m.value, f"{m.label}, in {m.unit}") for m in OwnMeasure]
        self.fields["measure"].choices = choices  # type: ignore[attr-defined]  # a ChoiceField
        self.asks_for("low", "high", "reason")


class FullSetForm(ActForm):
    """Why the full set is asked for one machine."""

    because = forms.CharField(label="Ask for the full set, because", max_length=120)


class OutsideReportForm(ActForm):
    """What stands on an outside tester's report."""

    measured_on = DayField(
        label="Measured on",
        help_text="After the machine came here, and after the case was last shut.",
    )
    measured_at = forms.TimeField(
        label="At what time",
        required=False,
        help_text="Wanted on the day the case was shut.",
        widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
        error_messages={"invalid": "Type a time like 14:30."},
    )
    who = forms.CharField(label="Who measured it", max_length=80, help_text="The tester, or the firm.")
    number = forms.CharField(label="Number of the report", max_length=40, required=False)
    covers = forms.MultipleChoiceField(label="It covers", widget=forms.CheckboxSelectMultiple)
    result = forms.ChoiceField(
        label="It says", choices=(("PASSED", "passed"), ("FAILED", "failed")), widget=forms.RadioSelect
    )
    words = forms.CharField(
        label="Figures on the report", max_length=200, required=False, help_text="As they stand there."
    )

    def __init__(self, *args: Any, items: Iterable[Item], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(item.code, item.title) for item in items]
        self.fields["covers"].choices = choices  # type: ignore[attr-defined]  # a MultipleChoiceField

    @property
    def typed(self) -> OutsideTyped:
        """Return what the service wants."""
        values = self.values
        covers, passed = values.pop("covers"), values.pop("result") == "PASSED"
        return OutsideTyped(Outside(passed=passed, **values), covers)


class ItemPhotoForm(UploadForm):
    """Photos that show one item of a card."""

    photos = photos_field("Photo of it")
