"""Forms of the counter: a film of the machine, and packing for a carrier."""

from decimal import Decimal
from typing import Any
from urllib.parse import urlsplit

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import URLValidator

from handover.cue_words import Cue
from handover.models.films import LONGEST
from handover.packing import NewPack
from intake.upload_form import UploadForm, photos_field
from workshop.core.forms import ActForm, DayField, MeasureField, MoneyField

_NOT_AN_ADDRESS = "This is not a web address. Copy it whole, like https://films.example/heron."
_HTTPS_ONLY = "Only an address that begins with https: a phone warns of others."
_TOO_LONG = f"This address is over {LONGEST} characters: its code on paper cannot be read. Use a shorter one."
_is_https = URLValidator(schemes=["https"], message=_NOT_AN_ADDRESS)


class FilmForm(ActForm):
    """Where a film of this machine is, of which day, what it shows."""

    address = forms.CharField(
        label="Address of the film",
        max_length=500,
        widget=forms.TextInput(attrs={"inputmode": "url", "autocomplete": "off", "spellcheck": "false"}),
        help_text="With https, as whoever has it can open it. Nobody's name or face belongs in it unasked.",
        error_messages={"required": "Copy the address of the film here."},
    )
    filmed_on = DayField(
        label="Filmed on",
        error_messages={"required": "Type the day it was filmed."},
    )
    shows = forms.MultipleChoiceField(
        label="It shows",
        choices=Cue.choices,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Say what it shows: one or more of the cue cards."},
    )

    def clean_address(self) -> str:
        """Return the whole address; one typed without its https gets it."""
        address = self.cleaned_data["address"].strip()
        if "://" not in address:
            address = f"https://{address}"
        if not address.startswith("https://"):
            raise ValidationError(_HTTPS_ONLY)
        _is_https(address)
        parts = urlsplit(address)
        if parts.username or parts.password or "." not in (parts.hostname or ""):
            raise ValidationError(_NOT_AN_ADDRESS)
        if len(address) > LONGEST:
            raise ValidationError(_TOO_LONG)
        return str(address)


class FilmBackForm(ActForm):
    """The film taken back."""


class BoxPhotoForm(UploadForm):
    """Photos of the box."""

    photos = photos_field("Photos of the box")


class TrackForm(ActForm):
    """The carrier's number."""

    tracking = forms.CharField(
        label="Tracking number", max_length=60, error_messages={"required": "Type the number the carrier gave."}
    )


class UnpackForm(ActForm):
    """The box was opened again."""


class PackForm(ActForm):
    """Drained, wrapped, weighed, given to whom. One box for each part that was counted."""

    boilers_drained = forms.BooleanField(
        label="Boilers drained: nothing runs from group, steam pipe or hot-water tap",
        error_messages={"required": "Drain the boilers first, then say that nothing runs any more."},
    )
    tank_drained = forms.BooleanField(
        label="Tank and tray empty and dry", error_messages={"required": "Empty the tank and the tray first."}
    )
    weight_kg = MeasureField(
        label="Weight of the box", unit="kg", min_value=Decimal("0.5"), max_value=200, max_digits=4, decimal_places=1
    )
    carrier = forms.CharField(label="Carrier", max_length=60, error_messages={"required": "Name the carrier."})
    insured_minor = MoneyField(label="Insured for", required=False)

    def __init__(self, *args: Any, parts: list[str], holds_water: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.parts = {f"wrap_{number}": part for number, part in enumerate(parts)}
        for name, part in self.parts.items():
            self.add(name, self._wrap(part))
        if not holds_water:
            del self.fields["boilers_drained"], self.fields["tank_drained"]
        drained = [name for name in ("boilers_drained", "tank_drained") if name in self.fields]
        self.order_fields(["key", *drained, *self.parts])

    def _wrap(self, part: str) -> forms.CharField:
        wanted = "Say how it is wrapped, or where it lies."
        return forms.CharField(label=part, max_length=80, error_messages={"required": wanted})

    @property
    def new(self) -> NewPack:
        """Return what the service wants."""
        values = self.values
        return NewPack(
            boilers_drained=values.get("boilers_drained", False),
            tank_drained=values.get("tank_drained", False),
            wraps=[[part, values[name]] for name, part in self.parts.items()],
            weight_kg=values["weight_kg"],
            insured_minor=values["insured_minor"],
            carrier=values["carrier"],
        )
