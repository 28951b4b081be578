"""The form that logs a machine."""

from typing import Any

from django import forms
from django.http import QueryDict

from intake.forms.shared import OFF, DayField
from intake.services import NewMachine
from intake.upload_form import UploadForm, photos_field
from workshop.core.forms import AskingForm, MeasureField, MoneyField
from workshop.core.models import ModelNotes
from workshop.core.words import Kind

ANOTHER = "ANOTHER"


class MachineLogForm(AskingForm, UploadForm):
    """Log a machine: what is it, what did it cost and from whom, where does it stand; the rest can wait."""

    notes = forms.ChoiceField(
        label="What is it?",
        help_text="Maker and model, as on the plate.",
        error_messages={"required": "Say what it is: choose a model, or another one and name it."},
    )
    maker = forms.CharField(label="Maker", max_length=60, required=False, widget=forms.TextInput(attrs=OFF))
    model = forms.CharField(label="Model", max_length=80, required=False, widget=forms.TextInput(attrs=OFF))
    kind = forms.ChoiceField(label="Kind", required=False, choices=[("", "Choose a kind"), *Kind.choices])
    price_minor = MoneyField(
        label="What did it cost?",
        help_text="What you paid the seller. Leave out delivery.",
        error_messages={"required": "Type what you paid."},
    )
    seller_name = forms.CharField(
        label="From whom?",
        max_length=120,
        widget=forms.TextInput(attrs=OFF),
        error_messages={"required": "Type who sold it."},
    )
    seller_phone = forms.CharField(
        label="Seller's phone", max_length=40, required=False, widget=forms.TextInput(attrs=OFF | {"type": "tel"})
    )
    place = forms.CharField(
        label="Where does it stand?",
        max_length=40,
        help_text="A shelf or a corner. A new one is added.",
        widget=forms.TextInput(attrs=OFF | {"list": "places"}),
        error_messages={"required": "Say where it stands."},
    )
    serial = forms.CharField(label="Serial number", max_length=40, required=False, help_text="On the maker's plate.")
    serial_unreadable = forms.BooleanField(label="It cannot be read: I will photograph the plate", required=False)
    acquired_on = DayField(label="Bought on", required=False)
    bought_at = forms.CharField(label="Bought at", max_length=80, required=False, help_text="Like: online, collected.")
    payment_method = forms.CharField(label="Paid by", max_length=40, required=False, help_text="Like: cash.")
    photos = photos_field("Photos of the six faces")
    cord_length_m = MeasureField(
        label="Cord length", unit="m", required=False, min_value=0, max_value=50, max_digits=4, decimal_places=2
    )
    cord_section_mm2 = MeasureField(
        label="Cord section", unit="mm²", required=False, min_value=0, max_value=10, max_digits=4, decimal_places=2
    )
    volts = forms.IntegerField(
        label="Volts", required=False, min_value=1, max_value=500, widget=forms.NumberInput(attrs={"data-unit": "V"})
    )
    watts = forms.IntegerField(
        label="Watts", required=False, min_value=1, max_value=20_000, widget=forms.NumberInput(attrs={"data-unit": "W"})
    )

    def __init__(self, data: QueryDict | None = None, **kwargs: Any) -> None:
        if data is not None and data.get("maker") and not data.get("notes"):
            data = data.copy()
            data["notes"] = ANOTHER  # who typed a maker meant another model
        super().__init__(data, **kwargs)
        self.known = {str(row.pk): row for row in ModelNotes.objects.order_by("maker", "model", "pk")}
        known = [(pk, str(row)) for pk, row in self.known.items()]
        self.fields["notes"].choices = [  # type: ignore[attr-defined]  # a ChoiceField
            ("", "Choose a model"),
            *known,
            (ANOTHER, "Another model: name it below"),
        ]
        if not self.known:
            self.initial.setdefault("notes", ANOTHER)
        self.asks_for("maker", "model", "kind")  # another model needs all three

    def clean(self) -> dict[str, Any]:
        """Want a known model, or maker, model and kind of another."""
        cleaned = super().clean()
        if cleaned.get("notes") == ANOTHER:
            for name, words in (("maker", "Type the maker."), ("model", "Type the model."), ("kind", "Choose a kind.")):
                if not cleaned.get(name):
                    self.add_error(name, words)
        return cleaned

    @property
    def names_another(self) -> bool:
        """Say whether the fields of another model stand open."""
        return not self.known or self.data.get("notes") == ANOTHER

    def machine(self) -> NewMachine:
        """Return what is known of the machine."""
        values = self.values
        notes = self.known.get(values.pop("notes"))
        return NewMachine(notes=notes, photos=self.photos_kept, **values)
