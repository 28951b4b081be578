"""Form of the recipe."""

from typing import Any

from django import forms

from workshop.bench.forms.shots import grams
from workshop.core.forms import MeasureField, VersionedForm


class RecipeForm(VersionedForm):
    """The words of a recipe; grams, seconds and setting come from its two shots and cannot be typed."""

    basket = forms.CharField(label="Basket", max_length=60, required=False)
    dose_tolerance_g = grams("Dose may be off by", 5)
    portions = forms.IntegerField(label="Ground in portions", min_value=1, max_value=10)
    dose_dial = forms.CharField(
        label="Dose dial at", max_length=40, required=False, help_text="Like half past 2, or seconds."
    )
    tamp_cue = forms.CharField(label="Tamp", max_length=80, required=False, help_text="Like 4 mm under the rim.")
    lock_in = forms.CharField(label="Handle points at", max_length=40, required=False, help_text="Like half past 6.")
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

    def __init__(self, *args: Any, hints: dict[str, str] | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, words in (hints or {}).items():
            self.fields[name].help_text = words

    def clean(self) -> dict[str, Any]:
        """Refuse a warm-up that ends before it begins."""
        cleaned = super().clean()
        low, high = cleaned.get("ready_low_min"), cleaned.get("ready_high_min")
        if low is not None and high is not None and low > high:
            self.add_error("ready_high_min", f"This ends before it begins at {low:f}. Swap the two.")
        return cleaned
