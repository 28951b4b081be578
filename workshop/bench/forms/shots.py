"""Forms of test shots."""

from decimal import Decimal
from typing import Any

from django import forms

from workshop.bench.dialin import is_pressurised
from workshop.bench.models import Coffee
from workshop.bench.services.shots import Pulled
from workshop.core.forms import AskingForm, MeasureField


def grams(label: str, high: int) -> MeasureField:
    return MeasureField(label=label, unit="g", min_value=Decimal("0.1"), max_value=high, max_digits=7, decimal_places=2)


class ShotForm(AskingForm):
    """One test shot, for a wet thumb: five boxes, numbers in the grinder's own words."""

    setting = forms.CharField(label="Grinder at", max_length=40, widget=forms.TextInput(attrs={"autocomplete": "off"}))
    dose_g = grams("Coffee in", 100)
    yield_g = MeasureField(
        label="In the cup",
        unit="g",
        min_value=0,
        max_value=500,
        max_digits=7,
        decimal_places=2,
        help_text="0: it choked.",
    )
    time_s = MeasureField(
        label="Pump time", unit="s", min_value=Decimal("0.1"), max_value=600, max_digits=6, decimal_places=1
    )
    basket = forms.CharField(label="Basket", max_length=60, required=False)
    coffee = forms.ModelChoiceField(
        label="Coffee", queryset=Coffee.objects.none(), required=False, empty_label="a new one"
    )
    new_coffee = forms.CharField(label="New coffee, in plain words", max_length=80, required=False)
    roast_words = forms.CharField(label="Roast", max_length=40, required=False)
    roasted_on = forms.DateField(
        label="Roasted on", required=False, widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
    )
    spoilt = forms.BooleanField(label="Spoilt: leave it out of the advice", required=False)
    why_spoilt = forms.CharField(
        label="Spoilt, because", max_length=80, required=False, help_text="First after a change, sprayed, wrong dose."
    )
    note = forms.CharField(label="Note", max_length=200, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["coffee"].queryset = Coffee.objects.order_by("-pk")  # type: ignore[attr-defined]

    @property
    def pulled(self) -> Pulled:
        """Return what the service wants; a two-wall basket is told from its words."""
        values = self.values
        return Pulled(**values, pressurised=is_pressurised(values["basket"]))
