"""Forms of Mend and reseal: findings, seals, worn rings, work, the case."""

from decimal import Decimal
from typing import Any

from django import forms

from intake.words import FindingEnd
from workshop.bench.words import SealEnd, WorkStation
from workshop.core.forms import ActForm, AskingForm, MeasureField
from workshop.parts.models import Part
from workshop.trade import scales


def part_choice(label: str) -> "forms.ModelChoiceField[Part]":
    """Return a list of the drawer's parts."""
    return forms.ModelChoiceField(
        label=label, queryset=Part.objects.order_by("name", "pk"), required=False, empty_label="none from the drawer"
    )


class FindingEndForm(ActForm):
    """How a finding ended."""

    end = forms.ChoiceField(label="It ended", choices=[c for c in FindingEnd.choices if c[0] != FindingEnd.OPEN])
    words = forms.CharField(
        label="In words", max_length=200, required=False, help_text="What you did, or why it stays."
    )

    def clean(self) -> dict[str, Any]:
        """A finding that is left is told to the buyer: it wants words."""
        cleaned = super().clean()
        if cleaned.get("end") == FindingEnd.LEFT and not cleaned.get("words"):
            self.add_error("words", "Say in words what stays: the buyer reads them.")
        return cleaned


class SealForm(AskingForm):
    """What became of one seal."""

    end = forms.ChoiceField(label="This seal was", choices=SealEnd.choices)
    why = forms.CharField(label="Kept, because", max_length=160, required=False)
    part = part_choice("New seal")
    size = forms.CharField(label="Size", max_length=40, required=False)
    material = forms.CharField(label="Material", max_length=20, required=False)
    thickness_mm = MeasureField(
        label="Thickness", unit="mm", required=False, min_value=0, max_value=30, max_digits=4, decimal_places=2
    )
    lock_in_clock = forms.CharField(
        label="Handle points at",
        max_length=24,
        required=False,
        help_text="Locked in, like the hour hand of a clock: half past 6.",
    )

    def clean_lock_in_clock(self) -> str:
        """Read clock words; keep them as they are said."""
        text: str = self.cleaned_data["lock_in_clock"].strip()
        if not text:
            return ""
        try:
            return scales.say(scales.CLOCK_FACE, scales.parse(scales.CLOCK_FACE, text))
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from wrong


class KeepForm(ActForm):
    """Keep every other wear seal, for one reason."""

    why = forms.CharField(label="Kept, because", max_length=160, help_text="Like: soft, no crack, no drip.")


class RingForm(forms.Form):
    """A worn ring, measured: its inside width and its section in two directions."""

    id_mm = MeasureField(
        label="Inside width", unit="mm", min_value=Decimal("0.1"), max_value=700, max_digits=6, decimal_places=2
    )
    section_a_mm = MeasureField(
        label="Section, the thin way", unit="mm", min_value=Decimal("0.1"), max_value=20, max_digits=5, decimal_places=2
    )
    section_b_mm = MeasureField(
        label="Section, the thick way",
        unit="mm",
        min_value=Decimal("0.1"),
        max_value=20,
        max_digits=5,
        decimal_places=2,
    )
    groove_d_mm = MeasureField(
        label="Groove width, if you can measure it",
        unit="mm",
        required=False,
        min_value=Decimal("0.1"),
        max_value=700,
        max_digits=6,
        decimal_places=2,
        help_text="A stretched ring keeps some set: the groove tells more than the ring.",
    )
    use_required_attribute = False


class WorkForm(AskingForm):
    """Work done, minutes, and a part."""

    station = forms.ChoiceField(label="Station", choices=WorkStation.choices, initial=WorkStation.MEND)
    what = forms.CharField(label="What was done", max_length=120)
    minutes = forms.IntegerField(
        label="Minutes", min_value=0, max_value=6000, widget=forms.NumberInput(attrs={"data-unit": "min"})
    )
    part = part_choice("Part it took")


class CaseForm(ActForm):
    """Why the case is opened."""

    why = forms.CharField(label="Opened, because", max_length=120)
