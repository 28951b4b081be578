"""Forms of Our workshop: the workshop itself, its instruments, the people who sign in."""

from decimal import Decimal
from typing import Any

from django import forms

from workshop.core.forms.base import ActForm, AskingForm, VersionedForm
from workshop.core.forms.days import DayField
from workshop.core.forms.door import NewUserForm
from workshop.core.forms.numbers import MeasureField, MoneyField
from workshop.core.models import Instrument, Shop
from workshop.core.profiles import COUNTRIES, CURRENCIES
from workshop.core.words import PASS_FAIL_UNITS, InstrumentKind, Paper, Role
from workshop.trade.money.tax import TaxRule
from workshop.trade.safety.electrical import PROFILES, profile_for
from workshop.trade.safety.records import RECALL_AGAIN_DAYS
from workshop.trade.water.hardness import HardnessUnit, from_mmol_l, to_mmol_l


class ShopForm(AskingForm, VersionedForm):
    """Our workshop. Without a tax rule no page shows a tax field."""

    name = forms.CharField(label="Name of the workshop", max_length=80)
    tagline = forms.CharField(label="One line under it", max_length=120, required=False)
    phone = forms.CharField(
        label="Phone",
        max_length=40,
        required=False,
        help_text="Printed on each sheet: the buyer calls this first.",
    )
    address = forms.CharField(label="Address", max_length=200, required=False)
    country = forms.ChoiceField(
        label="Where it stands",
        choices=COUNTRIES,
        help_text="Holds, the seller's record and recall registers follow the place. Profile and tax are chosen below.",
    )
    profile = forms.ChoiceField(
        label="Electrical profile",
        required=False,
        choices=[("", "The usual one for the place"), *((code, p.title) for code, p in PROFILES.items())],
    )
    currency = forms.ChoiceField(label="Currency", choices=[(code, code) for code in CURRENCIES])
    tax_rule = forms.ChoiceField(
        label="Tax on second-hand goods",
        choices=[(rule.value, rule.label) for rule in TaxRule],
        help_text="Not chosen: no tax is asked or shown anywhere. Ask your adviser which rule is yours.",
    )
    tax_number = forms.CharField(label="Tax number", max_length=30, required=False)
    hourly_rate_minor = MoneyField(
        label="An hour at the bench", required=False, help_text="What an hour's work costs you."
    )
    overhead_minor_per_h = MoneyField(
        label="Overhead for each bench hour",
        required=False,
        help_text="Rent, light and tools, shared over bench hours.",
    )
    selling_fee_percent = MeasureField(
        label="Selling fee",
        unit="%",
        required=False,
        min_value=0,
        max_value=60,
        max_digits=5,
        decimal_places=2,
    )
    payment_fee_percent = MeasureField(
        label="Payment fee",
        unit="%",
        required=False,
        min_value=0,
        max_value=30,
        max_digits=5,
        decimal_places=2,
    )
    fixed_fee_minor = MoneyField(label="Fixed fee a sale", required=False)
    profit_wanted_minor = MoneyField(label="Profit wanted on a machine", required=False)
    mean_claim_minor = MoneyField(
        label="What a return costs on average",
        required=False,
        help_text="Sets the reserve put aside for returns.",
    )
    full_set_from_minor = MoneyField(
        label="Full set from an asking price of",
        required=False,
        help_text="A machine that asks this much or more is proved by the full set. Empty means never.",
    )
    paper = forms.ChoiceField(label="Paper", choices=Paper.choices)
    tag_width_mm = MeasureField(
        label="Width of a tag",
        unit="mm",
        required=False,
        min_value=50,
        max_value=150,
        max_digits=4,
        decimal_places=1,
        help_text="The label you print on. Empty means 60 by 40 mm.",
    )
    tag_height_mm = MeasureField(
        label="Height of a tag",
        unit="mm",
        required=False,
        min_value=30,
        max_value=100,
        max_digits=4,
        decimal_places=1,
    )
    tag_gap_across_mm = MeasureField(
        label="Gap between tags across a sheet",
        unit="mm",
        required=False,
        min_value=0,
        max_value=20,
        max_digits=3,
        decimal_places=1,
        help_text="On sheets of ready labels. Empty means none.",
    )
    tag_gap_down_mm = MeasureField(
        label="Gap between tags down a sheet",
        unit="mm",
        required=False,
        min_value=0,
        max_value=20,
        max_digits=3,
        decimal_places=1,
    )
    warranty_months = forms.IntegerField(
        label="Warranty",
        min_value=0,
        max_value=120,
        help_text="In months. The law's rights stand beside it.",
        widget=forms.NumberInput(attrs={"data-unit": "months"}),
    )
    warranty_words = forms.CharField(
        label="Warranty in your words",
        help_text="The buyer's legal rights by the law of your place are always printed after it.",
        required=False,
        max_length=600,
        widget=forms.Textarea(attrs={"rows": 4}),
    )
    recall_again_days = forms.IntegerField(
        label="Ask the recall registers again after",
        required=False,
        min_value=1,
        max_value=3650,
        help_text="A look older than this is no longer enough to hand a machine over.",
        widget=forms.NumberInput(attrs={"data-unit": "days"}),
    )
    hardness = MeasureField(
        label="Hardness of your water",
        required=False,
        min_value=0,
        max_value=2000,
        max_digits=8,
        decimal_places=3,
    )
    hardness_unit = forms.ChoiceField(label="Hardness unit", choices=[(u.value, u.label) for u in HardnessUnit])
    alkalinity_mg_l = MeasureField(
        label="Alkalinity of your water",
        unit="mg/L",
        required=False,
        min_value=0,
        max_value=2000,
        max_digits=6,
        decimal_places=1,
        help_text="As calcium carbonate, from your supplier's report.",
    )
    feed_ph = MeasureField(
        label="pH of your water", required=False, min_value=4, max_value=11, max_digits=4, decimal_places=2
    )

    @property
    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Return the boxes under their headings, in the order of the page."""
        begins: dict[str, list[forms.BoundField]] = {}
        title = ""
        for box in self.visible_fields():
            title = _GROUPS.get(box.name, title)
            begins.setdefault(title, []).append(box)
        return list(begins.items())

    @staticmethod
    def initial_of(shop: Shop | None) -> dict[str, Any]:
        """Return what the form shows for a workshop, or for a new one."""
        if shop is None:
            return {
                "hardness_unit": HardnessUnit.MG_L_CACO3.value,
                "warranty_months": 12,
                "recall_again_days": int(RECALL_AGAIN_DAYS.value),
                "currency": "GBP",
                "tax_rule": TaxRule.NONE.value,
            }
        shown = {name: getattr(shop, name) for name in ShopForm.base_fields if hasattr(shop, name)}
        unit = HardnessUnit.MG_L_CACO3
        hardness = None if shop.hardness_mmol_l is None else round(from_mmol_l(shop.hardness_mmol_l, unit))
        return {**shown, "hardness": hardness, "hardness_unit": unit.value}

    @property
    def values(self) -> dict[str, Any]:
        """Return columns of Shop: hardness in mmol/L, what stands for an empty box, the profile of the place."""
        values = super().values
        hardness, unit = values.pop("hardness"), HardnessUnit(values.pop("hardness_unit"))
        values["hardness_mmol_l"] = None if hardness is None else round(to_mmol_l(hardness, unit), 3)
        values["profile"] = values["profile"] or profile_for(values["country"]).code
        for name in _WHEN_EMPTY:
            values[name] = values[name] if values[name] is not None else _WHEN_EMPTY[name]
        return values


# The first box under each heading of the page.
_GROUPS = {
    "name": "The workshop",
    "currency": "Money and tax",
    "paper": "Paper and tags",
    "warranty_months": "Warranty and recalls",
    "hardness": "Your water",
}

_WHEN_EMPTY: dict[str, int | Decimal] = {
    "recall_again_days": int(RECALL_AGAIN_DAYS.value),
    "hourly_rate_minor": 0,
    "overhead_minor_per_h": 0,
    "fixed_fee_minor": 0,
    "profit_wanted_minor": 0,
    "mean_claim_minor": 0,
    "selling_fee_percent": Decimal(0),
    "payment_fee_percent": Decimal(0),
    "tag_width_mm": Decimal(60),
    "tag_height_mm": Decimal(40),
    "tag_gap_across_mm": Decimal(0),
    "tag_gap_down_mm": Decimal(0),
}


class _InstrumentFields(ActForm):
    """What stands on any instrument, and may change while it is owned."""

    name = forms.CharField(label="Name", max_length=80, help_text="As you call it at the bench.")
    serial = forms.CharField(label="Serial", max_length=40, required=False)
    calibration_due_on = DayField(label="Calibration due", required=False)
    set_limit = MeasureField(
        label="It is set to",
        required=False,
        min_value=0,
        max_digits=12,
        decimal_places=4,
        help_text="For pass or fail only: in ohm for earth, megohm for insulation, mA for leakage.",
    )


class InstrumentForm(_InstrumentFields):
    """An instrument the workshop owns."""

    kind = forms.ChoiceField(label="Kind", choices=InstrumentKind.choices)
    pass_fail_only = forms.BooleanField(label="It shows pass or fail only", required=False)
    field_order = ["kind", "name", "serial", "calibration_due_on", "pass_fail_only", "set_limit"]

    def clean(self) -> dict[str, Any]:
        """Want the set limit of a pass/fail tester, and of nothing else."""
        cleaned = super().clean()
        tester, set_to = cleaned.get("pass_fail_only"), cleaned.get("set_limit")
        if tester and InstrumentKind(cleaned.get("kind") or InstrumentKind.SCALE) not in PASS_FAIL_UNITS:
            self.add_error("pass_fail_only", "Only earth, insulation and leakage testers show pass or fail.")
        elif tester and set_to is None and "set_limit" not in self.errors:
            self.add_error("set_limit", "Say what it is set to: its pass is worth that much.")
        elif set_to is not None and not tester:
            self.add_error("set_limit", "Only a pass/fail tester has a set limit. Tick that box, or leave this empty.")
        return cleaned


class InstrumentChangeForm(_InstrumentFields, VersionedForm):
    """What changed on an instrument; its kind stays. Only a pass/fail tester has a set limit."""

    def __init__(self, *args: Any, tester: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not tester:
            del self.fields["set_limit"]
            return
        self.fields["set_limit"].required = True
        self.fields["set_limit"].error_messages["required"] = "Say what it is set to: its pass is worth that much."

    @staticmethod
    def initial_of(instrument: Instrument) -> dict[str, Any]:
        """Return what the form shows for an instrument."""
        names = (*_InstrumentFields.base_fields, "version")
        return {name: getattr(instrument, name) for name in names if name != "key"}


class UserForm(NewUserForm):
    """Somebody else who may sign in."""

    role = forms.ChoiceField(
        label="Role", choices=Role.choices, initial=Role.TECHNICIAN, help_text="A technician does not see prices."
    )
    field_order = ["first_name", "role", "username", "password"]
