"""The form that logs a machine."""

from typing import Any

from django import forms

from intake.forms.shared import OFF
from intake.services import NewMachine
from intake.upload_form import UploadForm, photos_field
from workshop.core.forms import AskingForm, DayField, MeasureField, ModelAskingForm, MoneyField


class MachineLogForm(ModelAskingForm, AskingForm, UploadForm):
    """Log a machine: what is it, what did it cost and from whom, where does it stand; the rest can wait."""

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

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["notes"].help_text = "Maker and model, as on the plate."

    def machine(self) -> NewMachine:
        """Return what is known of the machine."""
        values = self.values
        notes = self.known.get(values.pop("notes"))
        return NewMachine(notes=notes, photos=self.photos_kept, **values)
