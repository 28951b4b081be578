"""The form that reads another workshop's record."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from workshop.core import machine_record
from workshop.core.forms import AskingForm
from workshop.core.machine_record import Read, Unreadable


class RecordFileForm(AskingForm):
    """A machine record from another workshop. `kept` holds its text while something about it is asked."""

    file = forms.FileField(
        label="The file record.json",
        required=False,
        allow_empty_file=True,
        help_text="From the buyer's page, or saved out of the handover sheet's PDF, where it is attached. "
        "The PDF itself is not read here.",
        widget=forms.FileInput(attrs={"accept": ".json,application/json"}),
    )
    kept = forms.CharField(
        required=False,
        strip=False,
        max_length=machine_record.MOST_BYTES,
        widget=forms.HiddenInput(attrs={"data-no-draft": ""}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.asks_for("file")

    def clean(self) -> dict[str, Any]:
        """Read the file, or what was kept of it. What cannot be read is one sentence beside the box."""
        cleaned = super().clean()
        file: UploadedFile[Any] | None = cleaned.get("file")
        data = file.read(machine_record.MOST_BYTES + 1) if file else cleaned.get("kept", "").encode()
        if not data:
            self.add_error("file", "Choose the file first.")
            return cleaned
        try:
            self.found: Read = machine_record.read(data)
        except Unreadable as unreadable:
            self.add_error("file", unreadable.sentence)
        else:
            self._keep(data)
        return cleaned

    def _keep(self, data: bytes) -> None:
        """Let a second press go without the file: a browser never sends one twice."""
        sent: Any = self.data.copy()  # type: ignore[attr-defined]  # a bound form holds a QueryDict
        sent[self.add_prefix("kept")] = data.decode("utf-8-sig")
        self.data = sent
