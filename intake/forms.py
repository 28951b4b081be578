"""Forms of intake: they turn what was typed into values and save nothing."""

from collections.abc import Collection
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from intake import walk_page
from intake.registers import Register
from intake.services import NewMachine, NewMark
from intake.upload_form import UploadForm, photos_field
from intake.words import NothingOf, PhotoFor, RecallFound, Zone
from workshop.core.forms import ActForm, MeasureField, MoneyField, VersionedForm
from workshop.core.models import ModelNotes
from workshop.core.words import Kind
from workshop.trade.condition.scoring import Face, MarkKind, Shows

ANOTHER = "ANOTHER"
_OFF = {"autocomplete": "off"}  # a seller's data, not the typist's own


class DayField(forms.DateField):
    """A day, with the browser's own date picker."""

    default_error_messages = {"invalid": "This is not a date. Type one like 2026-05-12."}

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}), **kwargs)


class MachineLogForm(UploadForm):
    """Log a machine: what is it, what did it cost and from whom, where does it stand; the rest can wait."""

    notes = forms.ChoiceField(
        label="What is it?",
        help_text="Maker and model, as on the plate.",
        error_messages={"required": "Say what it is: choose a model, or another one and name it."},
    )
    maker = forms.CharField(label="Maker", max_length=60, required=False, widget=forms.TextInput(attrs=_OFF))
    model = forms.CharField(label="Model", max_length=80, required=False, widget=forms.TextInput(attrs=_OFF))
    kind = forms.ChoiceField(label="Kind", required=False, choices=[("", "Choose a kind"), *Kind.choices])
    price_minor = MoneyField(
        label="What did it cost?",
        help_text="What you paid the seller. Leave out delivery.",
        error_messages={"required": "Type what you paid."},
    )
    seller_name = forms.CharField(
        label="From whom?",
        max_length=120,
        widget=forms.TextInput(attrs=_OFF),
        error_messages={"required": "Type who sold it."},
    )
    seller_phone = forms.CharField(
        label="Seller's phone", max_length=40, required=False, widget=forms.TextInput(attrs=_OFF | {"type": "tel"})
    )
    place = forms.CharField(
        label="Where does it stand?",
        max_length=40,
        help_text="A shelf or a corner. A new one is added.",
        widget=forms.TextInput(attrs=_OFF | {"list": "places"}),
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


class PurchaseForm(VersionedForm):
    """How it was bought."""

    seller_name = forms.CharField(
        label="From whom?",
        max_length=120,
        widget=forms.TextInput(attrs=_OFF),
        error_messages={"required": "Type who sold it."},
    )
    seller_phone = forms.CharField(
        label="Seller's phone", max_length=40, required=False, widget=forms.TextInput(attrs=_OFF | {"type": "tel"})
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


class FindingForm(VersionedForm):
    """Something that does not work."""

    words = forms.CharField(
        label="What does not work",
        max_length=200,
        help_text="One thing each, like: drips from the group.",
        error_messages={"required": "Type what does not work."},
    )


class LoosePartForm(VersionedForm):
    """A loose part, counted."""

    words = forms.CharField(label="What is it", max_length=80, error_messages={"required": "Type what the part is."})
    counted = forms.IntegerField(
        label="How many",
        min_value=0,
        max_value=99,
        help_text="Nought: it should be there and is not.",
        error_messages={"required": "Type how many there are.", "invalid": "Type a whole number, like 2."},
    )


class NothingForm(ActForm):
    """A question answered with "nothing"."""

    what = forms.ChoiceField(choices=NothingOf.choices)


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


class PhotoForm(UploadForm):
    """More photos of a machine."""

    purpose = forms.ChoiceField(label="They show", choices=PhotoFor.choices)
    face = forms.ChoiceField(
        label="Face",
        required=False,
        choices=[("", "Several, or not sure"), *((f.value, f.label.capitalize()) for f in Face)],
    )
    photos = photos_field("Photos")


class FaceForm(ActForm):
    """A face that was looked at."""

    face = forms.ChoiceField(choices=[(face.value, face.label) for face in Face])


class MarkForm(UploadForm):
    """A mark on the face in front of you."""

    upload_name = "photo"
    face = forms.ChoiceField(widget=forms.HiddenInput, choices=[(face.value, face.label) for face in Face])
    zone = forms.ChoiceField(label="Where on it", required=False)
    kind = forms.ChoiceField(
        label="What is it?",
        choices=[(kind.value, kind.label.capitalize()) for kind in MarkKind],
        widget=forms.RadioSelect,
        error_messages={"required": "Say what kind of mark it is."},
    )
    size_mm = MeasureField(
        label="How large",
        unit="mm",
        min_value=0,
        max_value=2000,
        max_digits=6,
        decimal_places=1,
        help_text="Length of a scratch or crack, width of the others.",
        error_messages={"required": "Measure it, in millimetres."},
    )
    shows = forms.ChoiceField(
        label="How it shows",
        choices=[(shows.value, shows.label.capitalize()) for shows in Shows],
        widget=forms.RadioSelect,
        error_messages={"required": "Say how it shows."},
    )
    photo = photos_field("Photo of it", many=False)

    def __init__(self, *args: Any, face: Face = Face.FRONT, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["zone"].choices = walk_page.zone_choices(face)  # type: ignore[attr-defined]

    def clean_size_mm(self) -> Any:
        """Refuse nought: a mark has a size."""
        size = self.cleaned_data["size_mm"]
        if size <= 0:
            raise ValidationError("A mark is larger than nought. Measure it.")
        return size

    def mark(self) -> NewMark:
        """Return the mark as it was seen."""
        values = self.cleaned_data
        return NewMark(
            face=Face(values["face"]),
            zone=Zone(values["zone"]).value if values["zone"] else "",
            kind=MarkKind(values["kind"]),
            size_mm=values["size_mm"],
            shows=Shows(values["shows"]),
            photo=self.photos_kept[-1] if self.photos_kept else None,
        )
