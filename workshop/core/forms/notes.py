"""Forms of model notes: what holds for every unit of a model."""

from typing import Any

from django import forms

from workshop.core.forms.base import VersionedForm
from workshop.core.forms.numbers import MeasureField
from workshop.core.models import ModelNotes
from workshop.core.words import CareWord, Kind, Metal, Pump
from workshop.trade import scales
from workshop.trade.safety.electrical import ApplianceClass
from workshop.trade.scales import ScaleKind
from workshop.trade.water.descaling import Agent


def _measure(
    label: str, unit: str, digits: int = 6, places: int = 2, low: int = 0, high: int = 10000, **kwargs: Any
) -> MeasureField:
    return MeasureField(
        label=label,
        unit=unit,
        required=False,
        min_value=low,
        max_value=high,
        max_digits=digits,
        decimal_places=places,
        **kwargs,
    )


def _count(label: str, unit: str = "", high: int = 100000) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        required=False,
        min_value=0,
        max_value=high,
        widget=forms.NumberInput(attrs={"data-unit": unit} if unit else {}),
    )


def _lines(label: str, hint: str) -> forms.CharField:
    return forms.CharField(
        label=label, required=False, max_length=2000, help_text=hint, widget=forms.Textarea(attrs={"rows": 4})
    )


class ModelNotesForm(VersionedForm):
    """Model notes. Maker, model and kind are enough."""

    maker = forms.CharField(label="Maker", max_length=60)
    model = forms.CharField(label="Model", max_length=80)
    kind = forms.ChoiceField(label="Kind", choices=Kind.choices)
    brew_boiler_l = _measure("Brew boiler", "L", 7, 3, high=20)
    steam_boiler_l = _measure("Steam boiler", "L", 7, 3, high=20)
    boiler_metal = forms.ChoiceField(
        label="Boiler metal", required=False, choices=[("", "Not known yet"), *Metal.choices]
    )
    pump = forms.ChoiceField(label="Pump", choices=Pump.choices)
    has_three_way_valve = forms.BooleanField(label="It has a three-way valve", required=False)
    has_steam = forms.BooleanField(label="It makes steam", required=False)
    has_hot_water = forms.BooleanField(label="It gives hot water", required=False)
    has_filter = forms.BooleanField(label="It takes a water filter", required=False)
    has_gauge = forms.BooleanField(label="It has a pressure gauge", required=False)
    gauge_from = forms.CharField(
        label="Gauge in a shot, from",
        required=False,
        max_length=24,
        help_text="As on a clock face, like 10 o'clock.",
    )
    gauge_to = forms.CharField(label="Gauge in a shot, to", required=False, max_length=24)
    has_surge_parts = forms.BooleanField(
        label="It has surge parts or a mains filter",
        required=False,
        help_text="Insulation is then read at 250 V.",
    )
    volts = _count("Volts", "V", 500)
    watts = _count("Watts on the plate", "W", 20000)
    boiler_watts = forms.IntegerField(
        label="Watts of the steam boiler's element",
        required=False,
        min_value=1,
        max_value=20000,
        widget=forms.NumberInput(attrs={"data-unit": "W"}),
        help_text="The steam test is held against it. Empty: against the plate.",
    )
    pump_watts = forms.IntegerField(
        label="Watts of the pump",
        required=False,
        min_value=1,
        max_value=300,
        widget=forms.NumberInput(attrs={"data-unit": "W"}),
        help_text="On the pump's own plate, or as a good one showed.",
    )
    appliance_class = forms.ChoiceField(label="Class", choices=[(c.value, c.label) for c in ApplianceClass])
    cord_length_m = _measure("Cord length", "m", 4, 2, high=50)
    cord_section_mm2 = _measure("Cord section", "mm²", 4, 2, high=10)
    fuse_a = _count("Plug fuse", "A", 63)
    mass_kg = _measure("Mass", "kg", 5, 1, high=500)
    has_grinder = forms.BooleanField(label="It has a grinder built in", required=False)
    grind_scale = forms.ChoiceField(
        label="Grind scale", required=False, choices=[("", "None"), *((k.value, k.label) for k in ScaleKind)]
    )
    grind_low = _measure("Grind scale, lowest", "")
    grind_high = _measure("Grind scale, highest", "")
    grind_step = _measure("Grind scale, one step", "", 5, 2)
    grind_finer = forms.ChoiceField(
        label="Finer is",
        required=False,
        choices=[("", "Not known yet"), ("LOWER", "a lower number"), ("HIGHER", "a higher number")],
    )
    dose_scale = forms.ChoiceField(
        label="Dose scale", required=False, choices=[("", "None"), *((k.value, k.label) for k in ScaleKind)]
    )
    timed_button = forms.NullBooleanField(
        label="Coffee button",
        required=False,
        widget=forms.Select(choices=[("", "None, or a lever"), ("true", "Timed"), ("false", "Metered")]),
    )
    basket_mm = _measure("Basket width", "mm", 4, 1, high=100)
    baskets = _lines("Baskets", "One a line: Double | 16 to 18 g, one wall")
    dose_g = _measure("Reference dose", "g", 7, 2, high=100)
    yield_g = _measure("Reference yield", "g", 7, 2, high=500)
    time_low_s = _measure("Target time, from", "s", 6, 1, high=200)
    time_high_s = _measure("Target time, to", "s", 6, 1, high=200)
    warm_up_low_min = _count("Warm-up, from", "min", 240)
    warm_up_high_min = _count("Warm-up, to", "min", 240)
    ready_sign = forms.CharField(label="Sign that it is ready", required=False, max_length=120)
    blank_shots = _count("Blank shots before the first coffee", "", 10)
    back_to_coffee = forms.CharField(label="Back to coffee after steam", required=False, max_length=200)
    teach_button = forms.CharField(label="How to teach a button", required=False, max_length=200)
    tamp_cue = forms.CharField(label="Tamp cue", required=False, max_length=80, help_text="Like: 4 mm under the rim.")
    loose_parts = _lines("Loose parts that belong with it", "One a line")
    descale_agent = forms.ChoiceField(
        label="Descale as usual with",
        required=False,
        choices=[("", "Not set"), *((a.value, a.label) for a in Agent)],
    )
    descale_strength_percent = _measure("Descale strength", "%", 4, 1, high=20)
    descale_litres = _measure("Descale solution", "L", 7, 3, high=20)
    descale_minutes = _count("Descale minutes", "min", 600)
    usual_minutes = _count("Usual minutes on the bench", "min", 10000)
    controls_text = _lines(
        "Controls",
        "One a line: use | what it says | where. Uses: power, coffee, hot water, steam, grind setting, dose.",
    )
    seals_text = _lines("Seals", "One a line: name | wears or inside | size. Start the group seal with 'Group'.")
    safety_text = _lines("Cut-outs and safety valves", "One a line: name | rating")
    care_text = _lines(
        "Care by the maker's manual",
        f"One a line, in place of our interval: Descale | 3 months. Tasks: {', '.join(CareWord.labels)}.",
    )
    note = _lines("Notes", "Faults it usually has, what to look at")

    def clean(self) -> dict[str, Any]:
        """Refuse a target time or a scale that ends before it begins."""
        cleaned = super().clean()
        pairs = (
            ("time_low_s", "time_high_s"),
            ("grind_low", "grind_high"),
            ("warm_up_low_min", "warm_up_high_min"),
        )
        for low, high in pairs:
            a, b = cleaned.get(low), cleaned.get(high)
            if a is not None and b is not None and a > b:
                self.add_error(high, f"This ends before it begins at {a}. Swap the two.")
        if cleaned.get("grind_scale") and not cleaned.get("grind_finer"):
            self.add_error("grind_finer", "Say which way is finer: the advice depends on it.")
        for name in ("gauge_from", "gauge_to"):
            self._check_clock(name, cleaned.get(name) or "")
        self._check_unique(cleaned)
        return cleaned

    def _check_clock(self, name: str, words: str) -> None:
        try:
            scales.parse(scales.CLOCK_FACE, words or "12 o'clock")
        except ValueError:
            self.add_error(name, "Say it as on a clock face, like 10 o'clock or half past two.")

    def _check_unique(self, cleaned: dict[str, Any]) -> None:
        same = ModelNotes.objects.filter(maker=cleaned.get("maker"), model=cleaned.get("model"))
        if same.exclude(pk=self.initial.get("pk") or 0).exists():
            self.add_error("model", "There are notes on this model already. Open those.")
