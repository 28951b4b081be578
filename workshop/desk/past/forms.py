"""Forms of the past: choose a file, match its columns, bring it in."""

from collections.abc import Iterator
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from workshop.core.forms import ActForm, AskingForm, VersionedForm
from workshop.core.models import Shop
from workshop.core.words import Kind
from workshop.desk.models import PastFile
from workshop.desk.past import columns, files, values
from workshop.desk.past.tables import MOST_BYTES, MOST_ROWS, Table, Unreadable
from workshop.desk.words import Past

SAMPLES_SHOWN = 3
LEAVE_OUT = "OUT"
_MONTH_FIRST = ("US",)  # where 03/04 is the fourth of March; from memory


class FileForm(ActForm):
    """A file of the past, and what it holds."""

    kind = forms.ChoiceField(label="What is in it?", choices=Past.choices, widget=forms.RadioSelect)
    file = forms.FileField(
        label="The file",
        allow_empty_file=True,
        help_text=f"CSV or XLSX, at most {MOST_BYTES // 1024 // 1024} MB and {MOST_ROWS:,} rows.",
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx"}),
        error_messages={"required": "Choose a file.", "invalid": "Choose a file.", "missing": "Choose a file."},
    )

    def clean_file(self) -> Table:
        """Read the file. What cannot be read is one sentence beside the box."""
        file: UploadedFile[Any] = self.cleaned_data["file"]
        self.file_name = _named(file.name or "")
        try:
            return files.read(file.read(MOST_BYTES + 1))
        except Unreadable as unreadable:
            raise forms.ValidationError(unreadable.sentence) from None

    @property
    def kept(self) -> dict[str, Any]:
        """Return what is kept of the file, with its columns as guessed from the headings."""
        table: Table = self.cleaned_data["file"]
        kind = self.cleaned_data["kind"]
        return {"kind": kind, "name": self.file_name, "table": table, "columns": columns.guess(kind, table.headings)}


def _named(name: str) -> str:
    return "".join(c for c in name if c.isprintable())[-120:].strip() or "the file"


class ColumnsForm(VersionedForm):
    """One question for each column of the file, and how its dates are read."""

    def __init__(self, *args: Any, file: PastFile, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.file = file
        chosen = {place: code for code, place in (file.columns or {}).items()}
        choices = [(LEAVE_OUT, "Leave out"), *((c.code, c.label) for c in columns.COLUMNS[file.kind])]
        for place, heading in enumerate(file.headings):
            column = forms.ChoiceField(
                label=f"“{heading[:60]}”" if heading else f"Column {place + 1}, no heading",
                choices=choices,
                initial=chosen.get(place, LEAVE_OUT),
                help_text=f"{'' if place in chosen else 'Not brought in as it stands. '}{_samples(file, place)}",
                error_messages={"invalid_choice": "Choose one of the list."},
            )
            self.add(f"column_{place}", column)
        new_kind = forms.ChoiceField(
            label="Kind of models that are new here",
            choices=[("", "Each row says it"), *Kind.choices],
            required=False,
            initial=file.new_kind,
            help_text="For rows that do not say their kind.",
        )
        self.add("new_kind", new_kind)
        month_first = values.date_order(_cells(file), shop.country.startswith(_MONTH_FIRST))
        if month_first is not None:
            order = forms.ChoiceField(
                label="A date like 03/04/2026 is",
                choices=[("DAY", "the third of April: day first"), ("MONTH", "the fourth of March: month first")],
                widget=forms.RadioSelect,
                initial="MONTH" if (file.month_first or month_first) else "DAY",
            )
            self.add("order", order)

    def clean(self) -> dict[str, Any]:
        """Want each needed field once, and no field twice."""
        cleaned = super().clean()
        chosen: dict[str, int] = {}
        for place in range(len(self.file.headings)):
            code = cleaned.get(f"column_{place}")
            if not code or code == LEAVE_OUT:
                continue
            if code in chosen:
                label = columns.column(self.file.kind, code).label
                self.add_error(f"column_{place}", f"{label} is matched twice. Leave one of the two out.")
            chosen.setdefault(code, place)
        for label in columns.missing(self.file.kind, chosen):
            self.add_error(
                None, f"No column is matched to {label}. Every row needs it: choose the column that holds it."
            )
        cleaned["chosen"] = chosen
        return cleaned

    @property
    def values(self) -> dict[str, Any]:
        """Return the columns of PastFile that were answered."""
        answered = self.cleaned_data
        return {
            "columns": answered["chosen"],
            "new_kind": answered["new_kind"],
            "month_first": answered.get("order") == "MONTH",
        }


class BringForm(AskingForm, VersionedForm):
    """The press that brings a file in."""


def _samples(file: PastFile, place: int) -> str:
    found = dict.fromkeys(cells[place][:40] for _, cells in file.rows[:50] if place < len(cells) and cells[place])
    return f"Like: {'; '.join(list(found)[:SAMPLES_SHOWN])}" if found else "Every cell looked at is empty."


def _cells(file: PastFile) -> Iterator[str]:
    return (cell for _, cells in file.rows for cell in cells)
