"""What is written down of the seller: first what the place asks for, then the rest."""

from collections.abc import Collection
from datetime import date
from typing import Any

from django import forms
from django.db.models import QuerySet

from intake.forms.shared import NO_DRAFT, OFF
from intake.seller_record import LAST_DIGITS, MOST_LAST_DIGITS, STANDARD_WORDS
from intake.words import IdKind, SellerTax
from workshop.core.forms import DayField, VersionedForm
from workshop.core.models import User
from workshop.trade.safety.records import Ask

# Which question answers which ask, in the order of the page.
_ANSWERS = {
    "address": Ask.ADDRESS,
    "phone": Ask.PHONE,
    "declared": Ask.DECLARATION,
    "declared_words": Ask.DECLARATION,
    "id_kind": Ask.ID_KIND,
    "id_last": Ask.ID_KIND,
    "id_number": Ask.ID_NUMBER,
    "born_on": Ask.BORN_ON,
    "bought_time": Ask.TIME,
    "accepted_by": Ask.STAFF,
    "signed_on": Ask.SIGNATURE,
}

BORN_EARLIEST = date(1900, 1, 1)  # nobody who sells a machine today was born before. House policy.


class SellerRecordForm(VersionedForm):
    """The seller's record, for the owner. The number in full and the birthday stand here only where they are asked.

    Without a tax rule (`is_taxed`) nothing is asked of the seller's tax.
    """

    address = forms.CharField(
        label="Seller's address", max_length=300, required=False, widget=forms.Textarea(attrs=OFF | {"rows": 2})
    )
    phone = forms.CharField(
        label="Seller's phone", max_length=40, required=False, widget=forms.TextInput(attrs=OFF | {"type": "tel"})
    )
    declared = forms.BooleanField(label="The seller declared that they own it", required=False)
    declared_words = forms.CharField(
        label="In these words", max_length=300, required=False, widget=forms.Textarea(attrs=OFF | {"rows": 2})
    )
    id_kind = forms.ChoiceField(
        label="How you know who they are", required=False, choices=[("", "Not looked at"), *IdKind.choices]
    )
    id_last = forms.CharField(
        label="Last digits of its number",
        max_length=40,
        required=False,
        help_text=f"Four to six. Of a longer one only the last {LAST_DIGITS} are kept. Do not copy or scan the paper.",
        widget=forms.TextInput(attrs=OFF),
    )
    id_number = forms.CharField(
        label="Its whole number",
        max_length=40,
        required=False,
        help_text="Your place asks for it. Only the owner can read it.",
        widget=forms.TextInput(attrs=OFF | NO_DRAFT),
    )
    born_on = DayField(
        label="Date of birth", required=False, earliest=BORN_EARLIEST, help_text="Only the owner can read it."
    )
    bought_time = forms.TimeField(
        label="At what time",
        required=False,
        widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
        error_messages={"invalid": "This is not a time. Type one like 14:30."},
    )
    accepted_by = forms.ModelChoiceField(
        label="Who dealt with the seller", queryset=User.objects.none(), required=False, empty_label="Nobody yet"
    )
    signed_on = DayField(label="Signed the receipt on", required=False)
    tax_status = forms.ChoiceField(label="The seller is", choices=SellerTax.choices)

    def __init__(
        self,
        *args: Any,
        asks: Collection[Ask],
        is_taxed: bool,
        people: QuerySet[User],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self._asked = asks  # not `asks`: that word on a form says that its press is asked about
        self.fields["accepted_by"].queryset = people  # type: ignore[attr-defined]  # a ModelChoiceField
        self.fields["accepted_by"].label_from_instance = str  # type: ignore[attr-defined]
        for name, ask in (("born_on", Ask.BORN_ON), ("id_number", Ask.ID_NUMBER)):
            if ask not in asks:
                del self.fields[name]
        if "id_number" in self.fields:
            del self.fields["id_last"]  # taken from the whole number
        if "born_on" in self.fields:
            self.fields["born_on"].widget.attrs |= NO_DRAFT
        if not is_taxed:
            del self.fields["tax_status"]
        self.asks_for(*self._asked_names())

    def _asked_names(self) -> list[str]:
        return [name for name, ask in _ANSWERS.items() if name in self.fields and ask in self._asked]

    def clean_id_last(self) -> str:
        """Keep the end of what was typed, never its beginning: the last digits are what tells two papers apart."""
        typed = "".join(self.cleaned_data["id_last"].split())
        return typed if len(typed) <= MOST_LAST_DIGITS else typed[-LAST_DIGITS:]

    def clean(self) -> dict[str, Any]:
        """Read the words of a declaration only when it was made; the usual words stand for none typed."""
        cleaned = super().clean()
        words = cleaned.get("declared_words") or STANDARD_WORDS
        cleaned["declared_words"] = words if cleaned.pop("declared", False) else ""
        return cleaned

    @property
    def asked_first(self) -> list[forms.BoundField]:
        """Return the questions that this place asks, in the order of the page."""
        return [self[name] for name in self._asked_names()]

    @property
    def the_rest(self) -> list[forms.BoundField]:
        """Return the questions that nobody asks here."""
        first = {field.name for field in self.asked_first}
        return [field for field in self.visible_fields() if field.name not in first]

    @property
    def rest_is_wrong(self) -> bool:
        """Say whether an answer in the folded part has to be mended."""
        return any(field.errors for field in self.the_rest)
