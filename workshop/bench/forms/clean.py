"""Forms of Clean and descale."""

from decimal import Decimal
from typing import Any

from django import forms

from workshop.bench.words import Cleaned, Path
from workshop.core.forms import ActForm, MeasureField
from workshop.core.models import Instrument
from workshop.core.words import InstrumentKind
from workshop.trade.water.descaling import Agent
from workshop.trade.water.hardness import HardnessUnit


class CleanForm(ActForm):
    """What was cleaned: a tick each, or a reason why not."""

    def __init__(self, *args: Any, wanted: list[Cleaned], done: dict[str, Any] | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.wanted = [what for what in wanted if what.value not in (done or {})]
        for what in self.wanted:
            self.add(f"done_{what.value}", forms.BooleanField(label=f"{what.label}: cleaned", required=False))
            because = forms.CharField(label=f"{what.label}: left, because", required=False, max_length=120)
            self.add(f"because_{what.value}", because)

    def clean(self) -> dict[str, Any]:
        """Refuse a thing that is both cleaned and left."""
        cleaned = super().clean()
        for what in self.wanted:
            if cleaned.get(f"done_{what.value}") and cleaned.get(f"because_{what.value}"):
                self.add_error(f"because_{what.value}", "Cleaned, or left? Untick it or empty this box.")
        return cleaned

    @property
    def lines(self) -> list[tuple[str, str]]:
        """Return pairs of (what, because) for each thing answered."""
        answered = []
        for what in self.wanted:
            because = self.cleaned_data.get(f"because_{what.value}", "")
            if self.cleaned_data.get(f"done_{what.value}") or because:
                answered.append((what.value, because))
        return answered


class DescaleForm(ActForm):
    """One fill of acid, and the water it is worked out for."""

    hardness = MeasureField(
        label="Hardness of the water used here",
        required=False,
        min_value=0,
        max_value=2000,
        max_digits=8,
        decimal_places=3,
    )
    hardness_unit = forms.ChoiceField(label="Hardness unit", choices=[(u.value, u.label) for u in HardnessUnit])
    agent = forms.ChoiceField(label="Acid", choices=[(a.value, a.label) for a in Agent])
    strength_percent = MeasureField(
        label="Strength", unit="%", min_value=Decimal("0.1"), max_value=20, max_digits=4, decimal_places=1
    )
    volume_l = MeasureField(
        label="Solution", unit="L", min_value=Decimal("0.01"), max_value=20, max_digits=7, decimal_places=3
    )
    minutes = forms.IntegerField(
        label="Minutes in the machine",
        min_value=1,
        max_value=1440,
        widget=forms.NumberInput(attrs={"data-unit": "min"}),
    )

    @property
    def run(self) -> dict[str, Any]:
        """Return what the service wants of one run."""
        return {name: self.cleaned_data[name] for name in ("agent", "strength_percent", "volume_l", "minutes")}


class RinseForm(ActForm):
    """Litres run through one path."""

    path = forms.ChoiceField(label="Path", choices=Path.choices)
    volume_l = MeasureField(
        label="Run through", unit="L", min_value=Decimal("0.01"), max_value=100, max_digits=7, decimal_places=3
    )


class ResidualForm(ActForm):
    """The pH of the last rinse, against the water it was rinsed with."""

    agent = forms.ChoiceField(label="Acid used", choices=[(a.value, a.label) for a in Agent])
    feed_alkalinity_mg_l = MeasureField(
        label="Alkalinity of the rinse water",
        unit="mg/L",
        min_value=Decimal("0.1"),
        max_value=1000,
        max_digits=6,
        decimal_places=1,
        help_text="As calcium carbonate. Do the last rinse with low-mineral water: 5 mg/L or less.",
    )
    feed_ph = MeasureField(label="pH of the rinse water", min_value=5, max_value=9, max_digits=4, decimal_places=2)
    sample_ph = MeasureField(label="pH of the last rinse", min_value=2, max_value=12, max_digits=4, decimal_places=2)
    resolution_ph = MeasureField(
        label="Your meter tells apart",
        unit="pH",
        min_value=Decimal("0.01"),
        max_value=1,
        max_digits=4,
        decimal_places=2,
        initial=Decimal("0.1"),
    )
    instrument = forms.ModelChoiceField(
        label="Meter",
        queryset=Instrument.objects.filter(kind=InstrumentKind.PH, retired=False).order_by("pk"),
        required=False,
    )


class FlushForm(ActForm):
    """The flush after descaling."""

    volume_l = MeasureField(
        label="Flushed and poured away",
        unit="L",
        min_value=Decimal("0.1"),
        max_value=100,
        max_digits=7,
        decimal_places=3,
    )
    stood_hours = forms.IntegerField(
        label="It stood full before, for",
        required=False,
        min_value=0,
        max_value=1000,
        widget=forms.NumberInput(attrs={"data-unit": "hours"}),
    )

    def clean_stood_hours(self) -> int:
        """An empty box means it did not stand."""
        return self.cleaned_data["stood_hours"] or 0


class BecauseForm(ActForm):
    """Not needed, because."""

    because = forms.CharField(label="Not needed, because", max_length=200)
