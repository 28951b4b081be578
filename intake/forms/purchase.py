"""How it was bought, its serial, what the seller said, the recall registers."""

from collections.abc import Collection
from typing import Any

from django import forms

from intake.forms.shared import OFF, DayField
from intake.registers import Register
from intake.words import RecallFound
from workshop.core.forms import ActForm, MoneyField, VersionedForm


class PurchaseForm(VersionedForm):
    """How it was bought."""

    seller_name = forms.CharField(
        label="From whom?",
        max_length=120,
        widget=forms.TextInput(attrs=OFF),
        error_messages={"required": "Type who sold it."},
    )
    seller_phone = forms.CharField(
        label="Seller's phone", max_length=40, required=False, widget=forms.TextInput(attrs=OFF | {"type": "tel"})
    )
    price_minor = MoneyField(
        label="What did it cost?",
        help_text="What you paid the seller. Leave out delivery.",
        error_messages={"required": "Type what you paid."},
    )
    acquired_on = DayField(
        label="Bought on",
        error_messages={"required": "Type the day you bought it."},
        help_text="A hold, where the law demands one, runs from this day.",
    )
    bought_at = forms.CharField(label="Bought at", max_length=80, required=False)
    payment_method = forms.CharField(label="Paid by", max_length=40, required=False)

    def __init__(self, *args: Any, shows_money: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not shows_money:
            del self.fields["price_minor"]


class SerialForm(VersionedForm):
    """The serial number, or that it cannot be read."""

    serial = forms.CharField(label="Serial number", max_length=40, required=False, help_text="On the maker's plate.")
    serial_unreadable = forms.BooleanField(label="It cannot be read: I will photograph the plate", required=False)

    def clean(self) -> dict[str, Any]:
        """Want one of the two; a typed number wins."""
        cleaned = super().clean()
        if cleaned.get("serial"):
            cleaned["serial_unreadable"] = False
        elif not cleaned.get("serial_unreadable"):
            self.add_error("serial", "Type the serial, or say that it cannot be read and photograph the plate.")
        return cleaned


class SaidForm(VersionedForm):
    """What the seller said."""

    said = forms.CharField(
        label="In the seller's words",
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Type what they said, or press that they said nothing."},
    )


class RecallForm(ActForm):
    """A look into the recall registers."""

    registers = forms.MultipleChoiceField(
        label="Where I looked",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Say which register you looked into."},
    )
    found = forms.ChoiceField(
        label="What it says of this model",
        choices=RecallFound.choices,
        widget=forms.RadioSelect,
        error_messages={"required": "Say whether it is listed."},
    )
    looked_on = DayField(label="Looked on", required=False)
    note = forms.CharField(label="Note", max_length=300, required=False, help_text="Like: the notice and what it asks.")

    def __init__(self, *args: Any, registers: Collection[Register], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["registers"].choices = [(r.label, r.label) for r in registers]  # type: ignore[attr-defined]

    @property
    def values(self) -> dict[str, Any]:
        """Return what was seen, as words of the record."""
        values = super().values
        return {**values, "found": RecallFound(values["found"])}
