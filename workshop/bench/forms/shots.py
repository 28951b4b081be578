"""Forms of test shots."""

from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import TextChoices

from workshop.bench.dialin import is_pressurised
from workshop.bench.models import Coffee
from workshop.bench.say import bag_words
from workshop.bench.services.shots import Pulled
from workshop.bench.words import AFTER_A_CHANGE, Counts, Crema, Flow, Spouts, Taste
from workshop.core.forms import AskingForm, DayField, MeasureField
from workshop.core.models import ModelNotes


def grams(label: str, high: int) -> MeasureField:
    return MeasureField(label=label, unit="g", min_value=Decimal("0.1"), max_value=high, max_digits=7, decimal_places=2)


def _seconds(label: str, *, required: bool = True) -> MeasureField:
    return MeasureField(
        label=label,
        unit="s",
        required=required,
        min_value=Decimal("0.1"),
        max_value=600,
        max_digits=6,
        decimal_places=1,
    )


def _pressed(label: str, words: type[TextChoices], nothing: str) -> forms.ChoiceField:
    """Return big buttons to press in; the last one says that nobody looked, in words no other button has."""
    return forms.ChoiceField(
        label=label,
        required=False,
        choices=[*words.choices, ("", nothing)],
        widget=forms.RadioSelect,
    )


def _day(label: str) -> DayField:
    return DayField(label=label, required=False)


class _BagField(forms.ModelChoiceField):  # type: ignore[type-arg]  # Django's class takes none at run time
    """The bags of coffee; two of one roast are told apart by their days."""

    def label_from_instance(self, obj: Coffee) -> str:
        return bag_words(obj)


class ShotForm(AskingForm):
    """One test shot, for a wet thumb: numbers in the grinder's own words, everything else pressed in."""

    setting = forms.CharField(label="Grinder at", max_length=40, widget=forms.TextInput(attrs={"autocomplete": "off"}))
    dose_g = grams("Coffee in", 100)
    first_drip_s = _seconds("Drip began after", required=False)
    time_s = _seconds("Pump time")
    yield_g = MeasureField(
        label="In the cup",
        unit="g",
        min_value=0,
        max_value=500,
        max_digits=7,
        decimal_places=2,
        help_text="0: it choked.",
    )
    gauge_bar = MeasureField(
        label="Gauge in the shot", unit="bar", required=False, min_value=0, max_value=60, max_digits=4, decimal_places=1
    )
    gauge_from = forms.CharField(
        label="Gauge in the shot, from",
        required=False,
        max_length=24,
        help_text="As on a clock face, like 10 o'clock.",
    )
    gauge_to = forms.CharField(label="Gauge in the shot, to", required=False, max_length=24)
    counts = forms.ChoiceField(
        label="Does it count?",
        required=False,
        choices=Counts.choices,
        widget=forms.RadioSelect,
        help_text="Left alone it counts, unless the grinder was moved.",
    )
    why_spoilt = forms.CharField(
        label="Spoilt, because", max_length=80, required=False, help_text="Like sprayed, wrong dose."
    )
    flow = _pressed("Flow", Flow, "flow not noted")
    crema = _pressed("Crema", Crema, "crema not noted")
    spouts = _pressed("Spouts", Spouts, "spouts not noted")
    tastes = forms.MultipleChoiceField(
        label="Taste",
        required=False,
        choices=Taste.choices,
        widget=forms.CheckboxSelectMultiple,
        help_text="Press as many as fit.",
    )
    tds_percent = MeasureField(
        label="Strength (TDS)",
        unit="%",
        required=False,
        min_value=0,
        max_value=100,
        max_digits=5,
        decimal_places=2,
        help_text="From the refractometer.",
    )
    note = forms.CharField(label="Note", max_length=200, required=False)
    basket = forms.CharField(label="Basket", max_length=60, required=False)
    coffee = _BagField(label="Coffee", queryset=Coffee.objects.none(), required=False, empty_label="a new one")
    new_coffee = forms.CharField(label="New coffee, in plain words", max_length=80, required=False)
    roast_words = forms.CharField(label="Roast", max_length=40, required=False)
    roasted_on = _day("Roasted on")
    opened_on = _day("Bag opened on")

    def __init__(self, *args: Any, notes: ModelNotes, last_setting: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["coffee"].queryset = Coffee.objects.order_by("-pk")  # type: ignore[attr-defined]
        self.fields["setting"].widget.attrs["data-last"] = last_setting
        self.asks_for("counts", "why_spoilt", "flow", "crema", "spouts", "tastes", "first_drip_s")
        self.asks_for("gauge_bar", "gauge_from", "gauge_to")
        by_clock = notes.has_gauge and bool(notes.gauge_from)
        for name in ("gauge_from", "gauge_to") if not by_clock else ():
            del self.fields[name]
        if by_clock or not notes.has_gauge:
            del self.fields["gauge_bar"]

    def clean(self) -> dict[str, Any]:
        """Refuse a reason beside a shot that counts."""
        cleaned = super().clean()
        counts, why = cleaned.get("counts"), cleaned.get("why_spoilt")
        if why and counts in (Counts.YES, Counts.AFTER_CHANGE):
            self.add_error("why_spoilt", "This says it is spoilt. Press Spoilt too, or empty this box.")
        return cleaned

    @property
    def pulled(self) -> Pulled:
        """Return what the service wants; a two-wall basket is told from its words."""
        values = self.values
        counts = values.pop("counts")
        if counts == Counts.AFTER_CHANGE:
            values["why_spoilt"] = AFTER_A_CHANGE
        spoilt = bool(values["why_spoilt"]) or counts == Counts.SPOILT
        left_alone = not counts and not spoilt
        return Pulled(**values, spoilt=None if left_alone else spoilt, pressurised=is_pressurised(values["basket"]))
