"""Faces looked at, and marks."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from intake import walk_page
from intake.services import NewMark
from intake.upload_form import UploadForm, photos_field
from intake.words import Zone
from workshop.core.forms import ActForm, MeasureField
from workshop.trade.condition.scoring import Face, MarkKind, Shows


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
