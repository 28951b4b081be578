"""How it was bought, its serial, what the seller said, the recall registers."""

from collections.abc import Collection
from typing import Any

from django import forms

from intake.forms.shared import OFF
from intake.purchase_change import OWNERS_WHILE_HELD
from intake.registers import Register
from intake.words import RecallFound
from workshop.core.forms import ActForm, DayField, MoneyField, VersionedForm

_GUARDED = ("seller_name", "acquired_on")  # beside what is always the owner's


class PurchaseForm(VersionedForm):
    """How it was bought. Price and phone are the owner's; while a hold stands (`held`) so are seller and day."""

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
    because = forms.CharField(
        label="Why the day is another one",
        max_length=120,
        required=False,
        help_text="Wanted when the hold gets shorter. Like: the receipt says so.",
    )

    def __init__(self, *args: Any, is_owner: bool = True, held: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.is_kept_shut = held and not is_owner
        owners = ("price_minor", "seller_phone") if not is_owner else ()
        guarded = _GUARDED if self.is_kept_shut else ()
        for name in (*owners, *guarded, *(() if held and is_owner else ("because",))):
            del self.fields[name]

    def clean(self) -> dict[str, Any]:
        """Refuse what a page opened before the hold may still send."""
        if self.is_kept_shut and any(name in self.data for name in _GUARDED):
            self.add_error(None, OWNERS_WHILE_HELD)
        return super().clean()


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
