"""The part of a form that brings photos: what was received is kept, even while its words are refused."""

from typing import Any

from django import forms

from intake.photos import Kept
from intake.uploads import Received
from workshop.core.forms import ActForm

_ACCEPT = "image/jpeg,image/png,image/webp"


class ManyFiles(forms.FileInput):
    """A plain file input that takes several files."""

    allow_multiple_selected = True


def camera_field() -> forms.FileField:
    """Return a second input that opens the phone's camera at once; the first one offers what is on the phone."""
    camera = forms.FileInput(attrs={"accept": "image/*", "capture": "environment"})
    return forms.FileField(label="Or take one now, with the camera", required=False, widget=camera)


def photos_field(label: str, *, many: bool = True) -> forms.FileField:
    """Return the input of photos. The files themselves are read by `intake.uploads`, before the form."""
    kind = ManyFiles if many else forms.FileInput
    return forms.FileField(
        label=label,
        required=False,
        help_text="JPEG, PNG or WebP. Place data is removed.",
        widget=kind(attrs={"accept": _ACCEPT}),
    )


class UploadForm(ActForm):
    """A form with photos: those received are kept, even while its words are refused."""

    kept = forms.CharField(widget=forms.HiddenInput, required=False, max_length=20_000)
    camera = camera_field()
    upload_name = "photos"

    def __init__(self, *args: Any, received: Received | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.received = received or Received()

    def clean(self) -> dict[str, Any]:
        """Refuse the form with one sentence for each file that could not be kept."""
        cleaned = super().clean()
        for sentence in self.received.refusals:
            self.add_error(self.upload_name, sentence)
        return cleaned

    @property
    def photos_kept(self) -> tuple[Kept, ...]:
        """Return what is on disk already and waits for the rest of the form."""
        return self.received.kept

    @property
    def values(self) -> dict[str, Any]:
        """Return what was typed, without the photos."""
        files = ("kept", "camera", self.upload_name)
        return {name: value for name, value in super().values.items() if name not in files}

    @property
    def upload(self) -> forms.BoundField:
        """Return the input of photos, whatever the form calls it."""
        return self[self.upload_name]
