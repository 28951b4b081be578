"""Several machines bought for one price."""

from typing import Any

from django import forms

from intake.forms.shared import OFF, DayField
from intake.services import NewLot, NewMachine
from workshop.core.forms import AskingForm, MoneyField, VersionedForm
from workshop.core.models import ModelNotes
from workshop.trade.money.lots import LotRule
from workshop.trade.money.rounding import SYMBOL

LINES, MORE, MOST = 4, 4, 24  # lines at first, added by one press, and at most. House policy.
_OF_LINE = ("notes", "serial", "fetch_minor")


class LotForm(AskingForm):
    """Log several: what was paid for all, from whom, and one line a machine. Empty lines count for nothing."""

    lines = forms.IntegerField(widget=forms.HiddenInput, required=False)
    price_minor = MoneyField(
        label="What did they cost together?",
        help_text="What you paid the seller for all of them. Leave out delivery.",
        error_messages={"required": "Type what you paid for all of them."},
    )
    seller_name = forms.CharField(
        label="From whom?",
        max_length=120,
        widget=forms.TextInput(attrs=OFF),
        error_messages={"required": "Type who sold them."},
    )
    seller_phone = forms.CharField(
        label="Seller's phone", max_length=40, required=False, widget=forms.TextInput(attrs=OFF | {"type": "tel"})
    )
    place = forms.CharField(
        label="Where do they stand?",
        max_length=40,
        widget=forms.TextInput(attrs=OFF | {"list": "places"}),
        error_messages={"required": "Say where they stand."},
    )
    rule = forms.ChoiceField(
        label="How the price is shared out",
        choices=[(rule.value, rule.label) for rule in LotRule],
        widget=forms.RadioSelect,
        help_text="To the penny: the shares add up to what you paid.",
        error_messages={"required": "Choose how the price is shared out."},
    )
    acquired_on = DayField(label="Bought on", required=False)
    bought_at = forms.CharField(label="Bought at", max_length=80, required=False)
    payment_method = forms.CharField(label="Paid by", max_length=40, required=False, help_text="Like: cash.")

    def __init__(self, *args: Any, lines: int = LINES, currency: str = "GBP", **kwargs: Any) -> None:
        super().__init__(*args, currency=currency, **kwargs)
        self.count = max(2, min(lines, MOST))
        self.fields["lines"].initial = self.initial["lines"] = self.count
        self.known = {str(row.pk): row for row in ModelNotes.objects.order_by("maker", "model", "pk")}
        choices = [("", "No machine on this line"), *((pk, str(row)) for pk, row in self.known.items())]
        for number in range(self.count):
            fetch = MoneyField(label="Should fetch", required=False)
            fetch.currency = currency
            fetch.widget.attrs["data-currency"] = SYMBOL.get(currency, currency)
            self.fields[f"notes_{number}"] = forms.ChoiceField(label="What is it?", required=False, choices=choices)
            self.fields[f"serial_{number}"] = forms.CharField(label="Serial number", max_length=40, required=False)
            self.fields[f"fetch_minor_{number}"] = fetch

    def clean(self) -> dict[str, Any]:
        """Want two lines or more, each with its model, and what each should fetch where the price follows it."""
        cleaned = super().clean()
        for number in range(self.count):
            typed = any(cleaned.get(f"{name}_{number}") not in (None, "") for name in _OF_LINE)
            if typed and not cleaned.get(f"notes_{number}"):
                self.add_error(f"notes_{number}", "Choose the model of this machine.")
        used = self._used()
        if len(used) < 2 and not self.errors:
            empty = next(number for number in range(self.count) if number not in used)
            self.add_error(f"notes_{empty}", "A lot is two machines or more. Choose a model here too.")
        if cleaned.get("rule") == LotRule.BY_EXPECTED:
            self._want_fetch(used)
        return cleaned

    def _want_fetch(self, used: list[int]) -> None:
        for number in used:
            name = f"fetch_minor_{number}"
            if not self.cleaned_data.get(name) and name not in self.errors:
                self.add_error(name, "Type what this one should fetch, or choose equal parts.")

    def _used(self) -> list[int]:
        return [number for number in range(self.count) if self.cleaned_data.get(f"notes_{number}")]

    @property
    def rows(self) -> list[tuple[int, list[forms.BoundField]]]:
        """Return the lines of machines as (number, its questions)."""
        return [(n + 1, [self[f"{name}_{n}"] for name in _OF_LINE]) for n in range(self.count)]

    @property
    def may_grow(self) -> bool:
        """Say whether more lines can be added."""
        return self.count < MOST

    def lot(self) -> NewLot:
        """Return the lot as it was bought."""
        values = self.cleaned_data
        same = ("seller_name", "seller_phone", "place", "acquired_on", "bought_at", "payment_method", "sure")
        used = self._used()
        machines = tuple(
            NewMachine(
                notes=self.known[values[f"notes_{number}"]],
                serial=values[f"serial_{number}"],
                price_minor=0,
                **{name: values[name] for name in same},
            )
            for number in used
        )
        weights = tuple(values[f"fetch_minor_{number}"] for number in used)
        return NewLot(values["price_minor"], LotRule(values["rule"]), machines, weights)


class LotPriceForm(VersionedForm):
    """The price of a lot, put right."""

    price_minor = MoneyField(
        label="What did they cost together?", error_messages={"required": "Type what you paid for all of them."}
    )
