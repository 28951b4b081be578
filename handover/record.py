"""Composes the machine record: what the next workshop should know of this machine, and nobody's name.

Rows name no person. What people typed may: every name, phone, e-mail and address that this workshop knows of the
people of the machine, and the names of those who sign in, are left out of it.
"""

import re
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Q
from django.utils import timezone

from handover.sheet import NBSP, CareRow, SheetContent
from intake import earlier
from intake import pages as intake_pages
from workshop.bench import travel
from workshop.core import machine_record, privacy
from workshop.core.models import Job, Machine, Person, User
from workshop.pricing.models import Ending

LEFT_OUT = "(name left out)"
MOST_LINES = {"found": 200, "readings": 500, "shots": 200, "seals": 100, "parts": 200}  # as the schema says
_UNIT = (
    "serial", "serial_unreadable", "finish", "volts", "watts", "appliance_class", "cord_length_m",
    "cord_section_mm2", "plug", "fuse_a", "date_code", "cycle_count",
)  # fmt: skip
_OURS = ("workshop", "machine", "condition", "care", "language")  # composed or read off a plate: nothing is left out
_YES_OR_NO = ("counts", "intact")  # a no is said as well: the schema wants an answer
_EMAIL = re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+")
_SURNAME = re.compile(r"[^\W\d_a-z][\w'’-]{3,}")


def of(job: Job, content: SheetContent) -> str:
    """Return the record that goes with a sheet, as the text of its file: the same facts give the same text."""
    bench = travel.rows(job)
    left_out = _left_out(job)
    record = {
        "workshop": content.workshop.name,
        "written_on": content.issued_on,
        "language": content.language,
        "sheet": content.number,
        "machine": _machine(job.machine),
        "came_on": timezone.localtime(job.opened_at).date(),
        "condition": _condition(job),
        "found": [{"what": f.words, "end": f.end, "words": f.end_words} for f in job.findings.order_by("pk")],
        "done": list(content.done),
        "left": list(content.left),
        "not_measured": [content.not_measured] if content.not_measured else [],
        "care": [_care(row) for row in (*content.care, *content.habits)],
        "goes_with": list(content.received),
        "earlier": earlier.in_short(job.machine),
        **bench,
    }
    for name, most in MOST_LINES.items():
        record[name] = record[name][-most:]  # the newest tell most
    return machine_record.document(
        {name: _plain(part, () if name in _OURS else left_out) for name, part in record.items() if not _empty(part)}
    ).decode()


def _machine(machine: Machine) -> dict[str, Any]:
    notes = machine.notes
    model = {"name": machine.name, "maker": notes.maker, "model": notes.model, "kind": notes.kind}
    return model | {name: getattr(machine, name) for name in _UNIT}


def _condition(job: Job) -> dict[str, Any]:
    marks = [{"number": row.number, "words": row.words} for row in intake_pages.marks_for_sheet(job)]
    arrived = intake_pages.score_on_arrival(job).value
    return {"score": intake_pages.score_now(job).value, "arrived": arrived, "marks": marks}


def _care(row: CareRow) -> dict[str, Any]:
    return {"code": row.code, "words": row.words, "every_days": row.every_days, "why": row.why}


def _empty(value: Any) -> bool:
    return value is None or value == [] or (isinstance(value, str) and not value.strip())


def _plain(value: Any, left_out: Iterable["re.Pattern[str]"]) -> Any:
    """Return the value as the file spells it: decimals and days as text, nothing empty, names left out."""
    if isinstance(value, dict):
        kept = {name: part for name, part in value.items() if not _empty(part) or name == "marks"}
        return {name: _plain(part, left_out) for name, part in kept.items() if part is not False or name in _YES_OR_NO}
    if isinstance(value, list):
        return [_plain(part, left_out) for part in value]
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    if isinstance(value, date):
        return value.isoformat()
    if not isinstance(value, str):
        return value
    return _without(machine_record.UNPRINTABLE.sub("", str(value)).replace(NBSP, " ").strip(), left_out)


def _without(text: str, left_out: Iterable["re.Pattern[str]"]) -> str:
    for pattern in left_out:
        text = pattern.sub(LEFT_OUT, text)
    return text[:600]


def _left_out(job: Job) -> tuple["re.Pattern[str]", ...]:
    """Return what finds whoever sold, bought or took this machine, and whoever signs in here, in typed words."""
    jobs = Job.objects.filter(machine=job.machine)
    took = Ending.objects.filter(job__in=jobs, person__isnull=False).values("person")
    of_machine = Q(purchases__job__in=jobs) | Q(sales__job__in=jobs) | Q(pk__in=took)
    patterns = [_EMAIL]
    for person in Person.objects.filter(of_machine).distinct().order_by("pk"):
        patterns += _of_person(person)
    names = User.objects.order_by("pk").values_list("first_name", "last_name", "username")
    words = sorted({word for row in names for word in row if len(word) > 1}, key=lambda word: (-len(word), word))
    return (*patterns, *(re.compile(rf"(?<!\w){re.escape(word)}(?!\w)") for word in words))


def _of_person(person: Person) -> list["re.Pattern[str]"]:
    found = privacy.of_person(person, fewest=2)
    last = person.name.split()[-1:] if " " in person.name.strip() else []
    return found + [re.compile(rf"(?<!\w){re.escape(word)}(?!\w)") for word in last if _SURNAME.fullmatch(word)]
