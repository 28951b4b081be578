"""More photos of a machine."""

from django import forms

from intake.upload_form import UploadForm, photos_field
from intake.words import PhotoFor
from workshop.trade.condition.scoring import Face


class PhotoForm(UploadForm):
    """More photos of a machine."""

    purpose = forms.ChoiceField(label="They show", choices=PhotoFor.choices)
    face = forms.ChoiceField(
        label="Face",
        required=False,
        choices=[("", "Several, or not sure"), *((f.value, f.label.capitalize()) for f in Face)],
    )
    photos = photos_field("Photos")
