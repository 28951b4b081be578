"""What other workshops wrote of a machine, prepared to be read: as their word, apart from everything of ours."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from intake.models import EarlierRecord
from intake.words import FindingEnd
from workshop.core.models import Job, Machine
from workshop.core.templatetags.measures import NBSP, day
from workshop.core.words import Kind

MOST_EARLIER = 20  # as the schema says
SHOWN_DONE = 4  # lines of work on the Machine page; the page of records has the rest. House policy.
CHANGED = "Changed after it was written: it may not say what was said then."
WHOLE = "As it was written: its own hash agrees."
_OUTCOMES = {"PASS": "passed", "FAIL": "failed", "RECORDED": "recorded", "NOT_POSSIBLE": "not possible"}
_SEALS = {"CHANGED": "changed", "KEPT": "kept", "NOT_DISTURBED": "not disturbed"}


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a record: its title and its lines in words."""

    title: str
    lines: list[str]


@dataclass(frozen=True, slots=True)
class Wrote:
    """One record: who wrote it and when, whether it is as it was written, and its parts."""

    pk: int
    workshop: str
    on: str
    intact: bool
    state: str
    differs: list[str]
    read: str
    parts: list[Part]

    @property
    def short(self) -> list[str]:
        """The first lines of work and everything left, for the Machine page."""
        lines = {part.title: part.lines for part in self.parts}
        return [*lines.get("Work done", [])[:SHOWN_DONE], *lines.get("Left as it was", [])]


def standing(machine: Machine) -> list[EarlierRecord]:
    """Return the records of a machine that were not taken back, the newest first. One query."""
    rows = EarlierRecord.objects.filter(machine=machine, withdrawn_at__isnull=True).select_related("read_by")
    return list(rows.order_by("-written_on", "-pk"))


def wrote(machine: Machine) -> list[Wrote]:
    """Return the records of a machine, ready to print."""
    return [_wrote(row) for row in standing(machine)]


def section(job: Job) -> list[Wrote]:
    """Return the section of the Machine page: what another workshop wrote; nothing where none did."""
    return wrote(job.machine)


def in_short(machine: Machine) -> list[dict[str, Any]]:
    """Return what our own record says of the records read in: who, when, their hash, what was done and left."""
    heads: list[dict[str, Any]] = []
    for row in reversed(standing(machine)):
        heads += [head for head in row.record.get("earlier", []) if head not in heads]
        seals = [_seal(seal) for seal in row.record.get("seals", []) if seal["end"] == "CHANGED"]
        heads.append(
            {
                "workshop": row.workshop,
                "written_on": row.written_on.isoformat(),
                "sha256": row.sha256,
                "intact": row.intact,
                "done": row.record.get("done", []),
                "left": row.record.get("left", []),
                "seals": seals,
            }
        )
    return heads[-MOST_EARLIER:]


def _wrote(row: EarlierRecord) -> Wrote:
    return Wrote(
        pk=row.pk,
        workshop=row.workshop,
        on=day(row.written_on),
        intact=row.intact,
        state=WHOLE if row.intact else CHANGED,
        differs=row.differs,
        read=f"Read by {row.read_by}, {day(row.read_at)}",
        parts=[part for part in _parts(row.record) if part.lines],
    )


def _parts(record: Mapping[str, Any]) -> list[Part]:
    def of(name: str, words: Callable[[Any], str]) -> list[str]:
        return [words(each) for each in record.get(name, [])]

    condition = record.get("condition", {})
    score = [f"{condition['score']} of 10"] if condition else []
    return [
        Part("The machine", _machine(record["machine"])),
        Part("Condition", [*score, *(f"Mark {m['number']}. {m['words']}" for m in condition.get("marks", []))]),
        Part("Found", of("found", _finding)),
        Part("Work done", of("done", str)),
        Part("Left as it was", of("left", str)),
        Part("Seals", of("seals", _seal)),
        Part("Parts", of("parts", lambda p: _said(f"{p['pieces']} × {p['name']}", p.get("size"), _on(p)))),
        Part("Descaled", of("descaling", _descaling)),
        Part("Readings", of("readings", _reading)),
        Part("Not measured", of("not_measured", str)),
        Part("Recipe", [_recipe(record["recipe"])] if "recipe" in record else []),
        Part("Shots", of("shots", _shot)),
        Part("Care", of("care", lambda task: _said(task["words"].rstrip("."), _days(task.get("every_days"))))),
        Part("Went with it", of("goes_with", str)),
        Part("Records it had read", of("earlier", _head)),
    ]


def _said(*parts: str | None) -> str:
    return ", ".join(part for part in parts if part)


def _on(row: Mapping[str, Any]) -> str:
    """Say the day of a row; a day that no calendar has is said as it stands."""
    try:
        return day(date.fromisoformat(row["on"])) if "on" in row else ""
    except ValueError:
        return str(row["on"])


def _with(row: Mapping[str, Any], name: str, unit: str) -> str:
    return f"{row[name]}{NBSP}{unit}" if name in row else ""


def _days(count: int | None) -> str:
    return "" if not count else "every day" if count == 1 else f"every {count} days"


def _machine(row: Mapping[str, Any]) -> list[str]:
    serial = row.get("serial") or ("cannot be read" if row.get("serial_unreadable") else "not recorded")
    mains = _said(_with(row, "volts", "V"), _with(row, "watts", "W"))
    return [f"{row['maker']} {row['model']}, {Kind(row['kind']).label.lower()}", _said(f"Serial {serial}", mains)]


def _finding(row: Mapping[str, Any]) -> str:
    return _said(f"{row['what']}: {FindingEnd(row['end']).label.lower()}", row.get("words"))


def _seal(row: Mapping[str, Any]) -> str:
    state = _SEALS[row["end"]]
    thick = _with(row, "thickness_mm", "mm")
    return _said(f"{row['position']}: {state}", row.get("why"), row.get("size"), thick, row.get("material"), _on(row))


def _descaling(row: Mapping[str, Any]) -> str:
    return _said(row["agent"], _with(row, "volume_l", "L"), _with(row, "minutes", "min"), _on(row))


def _reading(row: Mapping[str, Any]) -> str:
    sign = {"<": "under ", ">": "over "}.get(row.get("sign", ""), "")
    to = f" to {row['value_to']}" if "value_to" in row else ""
    unit = f"{NBSP}{row['unit']}" if "unit" in row else ""
    found = f"{sign}{row['value']}{to}{unit}" if "value" in row else row.get("state") or row.get("why", "")
    limit = f"limit {row['limit']}" if "limit" in row else ""
    counts = "" if row["counts"] else "did not count in the end"
    words = f"{row['what']}: {found}" if found else row["what"]
    return _said(words, limit, _OUTCOMES[row["outcome"]], row.get("instrument"), _on(row), counts)


def _recipe(row: Mapping[str, Any]) -> str:
    setting = f"grinder at {row['grind_setting']}" if "grind_setting" in row else ""
    cup = f"{row['dose_g']}{NBSP}g in, {row['yield_g']}{NBSP}g out, {row['time_s']}{NBSP}s"
    return _said(cup, setting, row.get("coffee"), _on(row))


def _shot(row: Mapping[str, Any]) -> str:
    counts = "" if row["counts"] else "left out"
    cup = f"{row['dose_g']}{NBSP}g in, {row['yield_g']}{NBSP}g out, {row['time_s']}{NBSP}s"
    return f"{row['number']}. {_said(row.get('setting'), cup, _on(row), counts)}"


def _head(row: Mapping[str, Any]) -> str:
    changed = "" if row["intact"] else "changed after it was written"
    lines = "; ".join([*row.get("done", []), *row.get("left", [])])
    return _said(row["workshop"], _on({"on": row["written_on"]}), changed) + (f": {lines}" if lines else "")
