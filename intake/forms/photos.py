"""More photos of a machine, and a press on one."""

from collections.abc import Iterable
from typing import Any

from django import forms

from intake.pages_photos import PIN_NARROW_PX, PIN_WIDE_PX, PhotoRow
from intake.upload_form import UploadForm, photos_field
from intake.words import PhotoFor
from workshop.core.forms import ActForm
from workshop.trade.condition.scoring import Face

FACES = [("", "Several, or not sure"), *((f.value, f.label.capitalize()) for f in Face)]


class PhotoForm(UploadForm):
    """More photos of a machine."""

    purpose = forms.ChoiceField(label="They show", choices=PhotoFor.choices)
    face = forms.ChoiceField(
        label="Face",
        required=False,
        choices=FACES,
    )
    photos = photos_field("Photos")
    back = forms.CharField(widget=forms.HiddenInput, required=False, max_length=200)  # the page that sent for them


class FacesForm(ActForm):
    """Which face each of these photos shows. Its boxes stand beside the photos, outside the form's own tags."""

    form_id = "photo-faces"

    def __init__(self, *args: Any, photos: Iterable[PhotoRow], **kwargs: Any) -> None:
        self.names = {row.pk: face_name(row.pk) for row in photos}
        super().__init__(*args, **kwargs)
        for row in photos:
            widget = forms.Select(attrs={"form": self.form_id})
            label = f"{row.name} shows"
            choices = [("", "Not said yet"), *FACES[1:]]  # short: the box stands under a small picture
            field = forms.ChoiceField(label=label, required=False, choices=choices, initial=row.face, widget=widget)
            self.add(self.names[row.pk], field)
        self.asks_for(*self.names.values())

    @property
    def faces(self) -> dict[int, str]:
        """Return the face chosen for each photo, by its id."""
        return {pk: self.cleaned_data[name] for pk, name in self.names.items()}


def face_name(pk: int) -> str:
    """Return the name of the box that says which face a photo shows."""
    return f"face_{pk}"


class PinForm(forms.Form):
    """A press on a photo, as the browser sends it: pixels from the upper left corner, at the width it was drawn."""

    across = forms.TypedChoiceField(coerce=int, choices=[(px, px) for px in (PIN_WIDE_PX, PIN_NARROW_PX)])
    spot_x = forms.IntegerField(min_value=0, max_value=4000)
    spot_y = forms.IntegerField(min_value=0, max_value=4000)

    def press(self) -> tuple[int, int, int]:
        """Return the width the photo was drawn at, and where it was pressed."""
        values = self.cleaned_data
        return values["across"], values["spot_x"], values["spot_y"]
