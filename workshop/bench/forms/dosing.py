"""Forms of dose trials, of runs of a button, and of the grinder being opened."""

from decimal import Decimal
from typing import Any

from django import forms

from workshop.bench.services.dosing import Delivered, Weighed
from workshop.bench.words import ButtonKind, RunsWith
from workshop.core.forms import ActForm, AskingForm, MeasureField
from workshop.trade.scales import ScaleKind

_LENGTHS = {
    ScaleKind.CLOCK: ("Dose dial at", "Read it like a clock: half past 2."),
    ScaleKind.GRAMS: ("Dose set to, in grams", ""),
    ScaleKind.STEPS: ("Dose dial at", ""),
}


class DoseForm(AskingForm):
    """One weighed dose: what it was set to, how often it was ground, what the scale says in all."""

    length = forms.CharField(label="Ground for, in seconds", max_length=40)
    dose_g = MeasureField(
        label="On the scale, in all", unit="g", min_value=0, max_value=200, max_digits=7, decimal_places=2
    )
    portions = forms.IntegerField(label="Ground in portions", min_value=1, max_value=10)
    setting = forms.CharField(label="Grinder at", max_length=40)
    topped_up = forms.BooleanField(
        label="Held on by hand: leave it out of the line",
        required=False,
        help_text="Grams added by hand say nothing of the timer.",
    )

    def __init__(self, *args: Any, scale: ScaleKind = ScaleKind.SECONDS, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["length"].widget.attrs["autocomplete"] = "off"
        if scale in _LENGTHS:
            self.fields["length"].label, self.fields["length"].help_text = _LENGTHS[scale]

    @property
    def weighed(self) -> Weighed:
        """Return what the service wants."""
        return Weighed(**self.values)


class ButtonForm(AskingForm):
    """One run of a button, weighed."""

    button = forms.ChoiceField(label="Button")
    delivered_g = MeasureField(
        label="In the cup", unit="g", min_value=Decimal("0.1"), max_value=1000, max_digits=7, decimal_places=2
    )
    kind = forms.ChoiceField(label="How it stops", choices=ButtonKind.choices)
    runs_with = forms.ChoiceField(label="Run with", choices=RunsWith.choices)
    setting = forms.CharField(label="Grinder at", max_length=40, required=False, help_text="Leave it with water alone.")
    taught_anew = forms.BooleanField(label="It was taught anew just before", required=False)

    def __init__(self, *args: Any, buttons: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.asks_for("setting")
        self.fields["button"].choices = [(name, name) for name in buttons]  # type: ignore[attr-defined]

    @property
    def delivered(self) -> Delivered:
        """Return what the service wants."""
        return Delivered(**self.values)


class BurrForm(ActForm):
    """The grinder was opened: why, and its inner setting before and after."""

    why = forms.CharField(
        label="The grinder was opened, because",
        max_length=120,
        help_text="Burrs out, or set inside: its readings, shots, doses and recipe from before count no more.",
    )
    inner_before = forms.CharField(
        label="Inner burr setting before", max_length=40, help_text="In its own marks, or: not marked."
    )
    inner_after = forms.CharField(label="Inner burr setting after", max_length=40)
