"""What the pages of the past print."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from workshop.core.models import Shop
from workshop.core.templatetags.measures import day, money
from workshop.core.words import Kind
from workshop.desk.models import PastFile
from workshop.desk.past import check, columns
from workshop.desk.past.columns import Holds
from workshop.desk.past.services import KEPT_DAYS

FILES_SHOWN = 20
SENTENCES_SHOWN = 200  # more than anybody mends in one go; the count says how many there are. House policy.
ROWS_SHOWN = 20
MACHINES_SHOWN = 100


@dataclass(frozen=True, slots=True)
class CheckPage:
    """The dry run of a file: counts, sentences and the first rows as they would come in."""

    ready: int
    faults: list[str]
    fault_rows: int
    more_faults: int
    asked: list[str]
    left_out: list[str]
    left_out_count: int
    rows: list[dict[str, str]] = field(default_factory=list)


def files() -> list[dict[str, Any]]:
    """Return the newest files with what became of them. Two queries."""
    rows = PastFile.objects.defer("rows", "said", "headings").order_by("-at", "-pk")
    swept = PastFile.objects.filter(rows=[]).values_list("pk", flat=True)
    shown = list(rows[:FILES_SHOWN])
    empty = set(swept.filter(pk__in=[row.pk for row in shown]))
    return [{"file": row, "words": _words(row, row.pk in empty)} for row in shown]


def _words(file: PastFile, empty: bool) -> str:
    if file.brought_at:
        return f"Brought in on {day(file.brought_at)}."
    if empty:
        return f"Swept after {KEPT_DAYS} days without being brought in."
    return f"{file.row_count} rows, nothing brought in yet."


def checked(file: PastFile, shop: Shop, today: date) -> CheckPage:
    """Return the dry run as it is printed."""
    found = check.report(file, shop, today)
    return CheckPage(
        ready=len(found.ready),
        faults=[str(said) for said in found.faults[:SENTENCES_SHOWN]],
        fault_rows=len({said.number for said in found.faults}),
        more_faults=max(0, len(found.faults) - SENTENCES_SHOWN),
        asked=[str(said) for said in found.asked[:SENTENCES_SHOWN]],
        left_out=[str(said) for said in found.left_out[:SENTENCES_SHOWN]],
        left_out_count=len(found.left_out),
        rows=[_row(file.kind, row, shop) for row in found.ready[:ROWS_SHOWN]],
    )


def _row(kind: str, row: check.Ready, shop: Shop) -> dict[str, str]:
    """Return one row in words: what it is, then each thing known of it."""
    shown = []
    for each in columns.COLUMNS[kind]:
        value = row.values.get(each.code)
        if each.code in ("maker", "model") or value in (None, "", False):
            continue
        if each.holds is Holds.MONEY:
            value = money(value, shop)
        elif each.holds is Holds.DAY:
            value = day(value)
        elif each.holds is Holds.YES_NO:
            value = "yes"
        elif each.holds is Holds.KIND:
            value = Kind(value).label.lower()
        shown.append(f"{each.label}: {value}")
    name = f"{row.values['maker']} {row.values['model']}"
    return {"number": str(row.number), "name": name, "words": ". ".join(shown)}


def came_in(file: PastFile) -> list[dict[str, str]]:
    """Return the machines that a file brought in, by its rows, the first hundred. One query."""
    rows = file.came_in.select_related("job__machine__notes").order_by("number")[:MACHINES_SHOWN]
    return [
        {
            "name": row.job.machine.name,
            "url": row.job.machine.get_absolute_url(),
            "words": f"{row.job.machine.notes}, row {row.number}",
        }
        for row in rows
    ]
