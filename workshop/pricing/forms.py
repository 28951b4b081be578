"""Forms of money."""

from django import forms

from workshop.core.forms import ActForm, MoneyField


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
