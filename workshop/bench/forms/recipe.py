"""Form of the recipe: the shots it rests on, and its words."""

from collections.abc import Collection, Sequence
from decimal import Decimal
from typing import Any

from django import forms

from workshop.bench.forms.shots import grams
from workshop.bench.words import TimedFrom, WhoseGrinder
from workshop.core.forms import MeasureField, VersionedForm


class RecipeForm(VersionedForm):
    """The shots of a recipe and its words; grams, seconds and setting come from the shots and cannot be typed.

    `measured`: what Prove read, by column; it is shown beside the form and has no box.
    """

    shots = forms.MultipleChoiceField(
        label="The shots it rests on",
        help_text="Press two in a row, or more.",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose two shots in a row, or more."},
    )
    grinder = forms.ChoiceField(
        label="Ground on", choices=[(one, words) for one, words in WhoseGrinder.choices if one != WhoseGrinder.BUILT_IN]
    )
    basket = forms.CharField(label="Basket", max_length=60, required=False)
    dose_tolerance_g = grams("Dose may be off by", 5)
    portions = forms.IntegerField(label="Ground in portions", min_value=1, max_value=10)
    selector = forms.CharField(
        label="Selector at", max_length=60, required=False, help_text="Like two cups, or by hand."
    )
    dose_dial = forms.CharField(
        label="Dose set at", max_length=40, required=False, help_text="Like half past 2, or seconds."
    )
    tamp_cue = forms.CharField(label="Tamp", max_length=80, required=False, help_text="Like 4 mm under the rim.")
    lock_in = forms.CharField(label="Handle points at", max_length=40, required=False, help_text="Like half past 6.")
    timed_from = forms.ChoiceField(label="Seconds count from", choices=TimedFrom.choices, initial=TimedFrom.PUMP_ON)
    gauge_zone = forms.CharField(label="Gauge in the shot", max_length=60, required=False)
    ready_low_min = MeasureField(
        label="Ready after, from",
        unit="min",
        required=False,
        min_value=0,
        max_value=240,
        max_digits=5,
        decimal_places=1,
    )
    ready_high_min = MeasureField(
        label="Ready after, to", unit="min", required=False, min_value=0, max_value=240, max_digits=5, decimal_places=1
    )
    blank_shots = forms.IntegerField(label="Blank shots first", required=False, min_value=0, max_value=10)
    steam_ready_s = MeasureField(
        label="First steam after", unit="s", required=False, min_value=0, max_value=900, max_digits=6, decimal_places=1
    )
    back_to_coffee_s = MeasureField(
        label="Back to coffee after",
        unit="s",
        required=False,
        min_value=0,
        max_value=900,
        max_digits=6,
        decimal_places=1,
    )
    back_to_coffee = forms.CharField(label="Back to coffee, in words", max_length=200, required=False)
    left_set_at = forms.CharField(label="Grinder left set at", max_length=40, required=False)

    def __init__(
        self,
        *args: Any,
        rows: Sequence[tuple[str, str]] | None,
        measured: dict[str, Decimal] | None = None,
        built_in: bool = True,
        gauge: bool = True,
        hints: dict[str, str] | None = None,
        **kwargs: Any,
    ) -> None:
        """Show the boxes this recipe asks for. `rows`: shots to press, None where only words are put right."""
        super().__init__(*args, **kwargs)
        self.measured = measured or {}
        for name, words in (hints or {}).items():
            self.fields[name].help_text = words
        self._leave_out(self.measured)
        if built_in or rows is None:
            self._leave_out(["grinder"])
        if not gauge:
            self._leave_out(["gauge_zone"])
        if not built_in:
            self._leave_out(["portions", "dose_dial", "left_set_at"])
        if rows is None:
            self._leave_out(["shots"])
        else:
            self.fields["shots"].choices = rows  # type: ignore[attr-defined]

    def _leave_out(self, names: Collection[str]) -> None:
        for name in names:
            del self.fields[name]

    @property
    def chosen(self) -> list[int]:
        """Return the ids of the shots pressed."""
        return [int(pk) for pk in self.cleaned_data.get("shots", [])]

    def clean(self) -> dict[str, Any]:
        """Refuse a warm-up that ends before it begins."""
        cleaned = super().clean()
        low = self.measured.get("ready_low_min", cleaned.get("ready_low_min"))
        high = cleaned.get("ready_high_min")
        if low is not None and high is not None and low > high:
            self.add_error("ready_high_min", f"This ends before it begins at {low:f}. Swap the two.")
        return cleaned
