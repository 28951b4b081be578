"""More photos of a machine, and a press on one."""

from django import forms

from intake.pages_photos import PIN_NARROW_PX, PIN_WIDE_PX
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


class PinForm(forms.Form):
    """A press on a photo, as the browser sends it: pixels from the upper left corner, at the width it was drawn."""

    across = forms.TypedChoiceField(coerce=int, choices=[(px, px) for px in (PIN_WIDE_PX, PIN_NARROW_PX)])
    spot_x = forms.IntegerField(min_value=0, max_value=4000)
    spot_y = forms.IntegerField(min_value=0, max_value=4000)

    def press(self) -> tuple[int, int, int]:
        """Return the width the photo was drawn at, and where it was pressed."""
        values = self.cleaned_data
        return values["across"], values["spot_x"], values["spot_y"]
