"""The machine record as a file: inside the sheet's PDF, beside the sheet, and on the buyer's page."""

from django.utils import translation
from django.utils.translation import gettext as _

from handover.models import MachineRecord, Sheet
from handover.pdf import Attached

NAME = "record.json"
KIND = "application/json"


def attached(text: str, language: str) -> tuple[Attached, ...]:
    """Return the record as the PDF carries it; nothing for a sheet of before there were records."""
    with translation.override(language):
        words = _("The machine's record, for the next workshop")
    return (Attached(NAME, text.encode(), words),) if text else ()


def of_sheet(sheet: Sheet) -> str:
    """Return the record issued with a sheet, as it was then; nothing for a sheet of before there were records."""
    return MachineRecord.objects.filter(sheet=sheet).values_list("text", flat=True).first() or ""


def is_with(sheet: Sheet) -> bool:
    """Say whether a record was issued with a sheet."""
    return MachineRecord.objects.filter(sheet=sheet).exists()
