"""Faces looked at, and marks."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from intake import walk_page
from intake.models import LoosePart, Photo
from intake.services import NewMark
from intake.upload_form import UploadForm, photos_field
from intake.words import Zone
from workshop.core.forms import ActForm, MeasureField
from workshop.core.models import Job
from workshop.trade.condition.scoring import Face, MarkKind, Shows

_LOST = {"invalid_choice": "This is not among this machine's rows. Choose it again on the page."}


def _hidden_row(rows: QuerySet[Any]) -> "forms.ModelChoiceField[Any]":
    """Return a field that carries a row chosen by a link; which rows there are is set by the form."""
    return forms.ModelChoiceField(rows, widget=forms.HiddenInput, required=False, error_messages=_LOST)


class FaceForm(ActForm):
    """A face that was looked at."""

    face = forms.ChoiceField(choices=[(face.value, face.label) for face in Face])


class MarkForm(UploadForm):
    """A mark on the face in front of you, or on a loose part; with a pin when it was pressed on a photo."""

    upload_name = "photo"
    face = forms.ChoiceField(
        label="Which face is it on?",
        widget=forms.HiddenInput,
        required=False,
        choices=[(face.value, face.label.capitalize()) for face in Face],
    )
    loose_part = _hidden_row(LoosePart.objects.none())
    pinned_on = _hidden_row(Photo.objects.none())
    pin_x_permille = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0, max_value=1000)
    pin_y_permille = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0, max_value=1000)
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

    def __init__(
        self, *args: Any, job: Job, face: Face | None = Face.FRONT, asks_face: bool = False, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        fields: dict[str, Any] = self.fields
        fields["loose_part"].queryset = LoosePart.objects.filter(job=job)
        fields["pinned_on"].queryset = Photo.objects.filter(job=job, struck=False, corrected_by__isnull=True)
        if asks_face:
            fields["face"].widget = forms.Select(choices=[("", "Choose the face"), *fields["face"].choices])
            self.asks_for("face")
        if face is None:
            fields["zone"].widget = forms.HiddenInput()
        fields["zone"].choices = walk_page.zone_choices(face)

    def clean_size_mm(self) -> Any:
        """Refuse nought: a mark has a size."""
        size = self.cleaned_data["size_mm"]
        if size <= 0:
            raise ValidationError("A mark is larger than nought. Measure it.")
        return size

    def clean(self) -> dict[str, Any]:
        """Want a face or a loose part, one of the two; and a whole pin, or none."""
        cleaned = super().clean()
        face, part = cleaned.get("face"), cleaned.get("loose_part")
        if "face" not in self.errors and "loose_part" not in self.errors and bool(face) == bool(part):
            self.add_error("face", "Choose the face, or the loose part, that has the mark.")
        if part is not None and cleaned.get("zone"):
            self.add_error("zone", "A loose part has no zones. Leave this empty.")
        if (cleaned.get("pin_x_permille") is None) != (cleaned.get("pin_y_permille") is None):
            self.add_error(None, "The pin is half there. Press the photo again.")
        if cleaned.get("pinned_on") is not None and self.photos_kept:
            self.add_error("photo", "This mark shows another photo already. Add this one on Intake.")
        return cleaned

    def mark(self) -> NewMark:
        """Return the mark as it was seen."""
        values = self.cleaned_data
        pin = (values["pin_x_permille"], values["pin_y_permille"])
        pinned_on = values["pinned_on"]
        return NewMark(
            face=Face(values["face"]) if values["face"] else None,
            zone=Zone(values["zone"]).value if values["zone"] else "",
            loose_part=values["loose_part"],
            pinned_on=pinned_on,
            pin_permille=pin if pinned_on and None not in pin else None,
            kind=MarkKind(values["kind"]),
            size_mm=values["size_mm"],
            shows=Shows(values["shows"]),
            photo=self.photos_kept[-1] if self.photos_kept else None,
        )
