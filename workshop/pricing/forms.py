"""Forms of money."""

from typing import Any

from django import forms

from workshop.core.forms import ActForm, MeasureField, MoneyField, VersionedForm
from workshop.trade.money.extras import ExtraTax


class AskingPriceForm(ActForm):
    """The price asked. It comes filled with the suggestion: a price is chosen, not read."""

    price_minor = MoneyField(label="Asking price")
    below_floor_words = forms.CharField(
        label="Why the loss is right",
        max_length=200,
        required=False,
        help_text="Only for a price under the floor. Like: it has stood here for a year.",
    )


class TryForm(ActForm):
    """A price to follow down to its profit, without setting it."""

    at = MoneyField(label="Try a price")


class ExtraCostForm(ActForm):
    """A cost that is neither a part nor work."""

    words = forms.CharField(label="What for", max_length=80, help_text="Like: carriage, an outside test.")
    amount_minor = MoneyField(label="It cost", minimum_minor=1)


class NoWorkForm(ActForm):
    """Why a machine needed no bench time."""

    because = forms.CharField(
        label="It needed no work, because", max_length=200, help_text="Like: it came clean from another workshop."
    )


class PaymentForm(ActForm):
    """Money from a buyer."""

    amount_minor = MoneyField(
        label="Amount", minimum_minor=None, help_text="Money you give back is below zero, like -20.00."
    )
    method = forms.CharField(label="Paid by", max_length=40, help_text="Like: cash, card, bank.")
    words = forms.CharField(label="Note", max_length=120, required=False)


class SellerPaymentForm(ActForm):
    """Money to a seller."""

    amount_minor = MoneyField(label="Amount you paid", minimum_minor=1)
    method = forms.CharField(label="How you paid", max_length=40, help_text="Like: cash, bank.")


class SaleLineForm(VersionedForm):
    """Something sold beside the machine. Its tax is asked only where a tax scheme is chosen, its cost of the owner."""

    words = forms.CharField(label="What", max_length=80, help_text="Like: tamper, 250 g of coffee, delivery.")
    amount_minor = MoneyField(label="They pay", help_text="Tax inside.")
    tax = forms.ChoiceField(
        label="Its tax",
        choices=[(tax.value, tax.label) for tax in ExtraTax if tax is not ExtraTax.NONE],
        initial=ExtraTax.STANDARD.value,
    )
    rate_percent = MeasureField(
        label="Its rate",
        unit="%",
        required=False,
        min_value=0,
        max_value=100,
        max_digits=5,
        decimal_places=2,
        help_text="For another rate only; 0 for none.",
    )
    cost_minor = MoneyField(label="It cost us", required=False, help_text="Without tax you take back.")
    is_service = forms.BooleanField(
        label="Delivery or other work", required=False, help_text="Then nothing is counted or packed for it."
    )

    def __init__(self, *args: Any, asks_tax: bool, asks_cost: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        hidden = (() if asks_tax else ("tax", "rate_percent")) + (() if asks_cost else ("cost_minor",))
        for name in hidden:
            del self.fields[name]

    def clean(self) -> dict[str, Any]:
        """Want a rate beside "another rate" and nowhere else; an empty cost is none."""
        cleaned = super().clean()
        if "cost_minor" in self.fields and cleaned.get("cost_minor") is None and "cost_minor" not in self.errors:
            cleaned["cost_minor"] = 0
        if cleaned.get("tax") == ExtraTax.OTHER.value:
            if cleaned.get("rate_percent") is None and "rate_percent" not in self.errors:
                self.add_error("rate_percent", "Type the rate, 0 for none, or choose another tax.")
        elif "rate_percent" in cleaned:
            cleaned["rate_percent"] = None
        return cleaned
