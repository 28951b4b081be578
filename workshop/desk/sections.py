"""The plain sections of the Machine page, in order: each room prepares its own, the desk puts them in line."""

from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils import timezone

from handover import came_back, timeline
from intake import blind as intake_blind
from intake import earlier as intake_earlier
from intake import pages as intake_pages
from intake import pages_photos as intake_photos
from workshop.bench import as_found, escapes
from workshop.bench import pages as bench_pages
from workshop.core.models import Job, Machine, User
from workshop.core.stations import Standing
from workshop.core.templatetags.measures import day, measure
from workshop.core.words import Area
from workshop.desk import faults, journal, stations
from workshop.desk.models import PastRow
from workshop.desk.undo import undoable
from workshop.pricing import pages as pricing_pages
from workshop.pricing import pages_decide

RECORD_SHOWN = 10  # the newest on the page itself; Record has the rest. House policy.


@dataclass(frozen=True, slots=True)
class Section:
    """One section: the template that prints it and the rows it prints."""

    template: str
    data: Any


def sections(
    job: Job, standing: list[Standing], *, shows_money: bool, asked: str = "", viewer: User | None = None
) -> dict[str, Any]:
    """Return the context of the Machine page. A person who may not see prices gets no Money section.

    `asked`: why it must be decided again, for the Decision section. One who scores the machine blind just now
    sees nothing of what others marked.
    """
    entries = journal.of_job(job)
    rooms = [
        Section("intake/_marks_section.html", intake_pages.marks_section(job, viewer)),
        Section("bench/_found_section.html", as_found.section(job)),
        Section("bench/_readings_section.html", bench_pages.readings_section(job)),
        Section("bench/_work_section.html", bench_pages.work_section(job)),
        Section("bench/_coffee_section.html", bench_pages.coffee_section(job)),
        Section("intake/_photos_section.html", intake_photos.photos_section(job, viewer)),
        Section("intake/_earlier_section.html", intake_earlier.section(job)),
    ]
    contact = Section("handover/_contact.html", timeline.of(job))
    rooms = [*_before(job, contact), *rooms]
    decision = pages_decide.decision_section(job, asked, shows_money=shows_money)
    rooms.append(Section("pricing/_decision_section.html", decision))
    if faults_seen := faults.usual(job.machine.notes):
        rooms.append(Section("desk/_usual_faults.html", faults_seen))
    if not contact.data.waits:
        rooms.append(contact)
    if shows_money:
        rooms.append(Section("pricing/_money_section.html", pricing_pages.money_section(job)))
    else:
        entries = entries.exclude(area=Area.MONEY)
    if intake_blind.hides_marks(job, viewer):
        entries = entries.exclude(verb__in=intake_blind.TELLING)
    shown = list(entries[:RECORD_SHOWN])
    return {
        "paused": bench_pages.pause_section(job, timezone.localdate()),
        "finish": finish(job, standing),
        "facts": [*facts(job.machine), *_from_the_past(job)],
        "sections": rooms,
        "waits": stations.waits([job.pk])[job.pk],
        "entries": journal.with_messages(shown, job.machine, newest=RECORD_SHOWN),
        "undoable": undoable(shown, viewer) if viewer else set(),
    }


def _before(job: Job, contact: Section) -> list[Section]:
    """Return what stands above the rest: somebody who waits for an answer, why it came back, a hold."""
    rows = [contact] if contact.data.waits else []
    if back := came_back.section(job):
        rows.append(Section("handover/_came_back.html", back))
    if held := intake_pages.hold_section(job, timezone.localdate()):
        rows.append(Section("intake/_hold_section.html", held))
    if escapes.asked(job):
        rows.append(Section("bench/_escape_section.html", bench_pages.escape_section(job)))
    return rows


def finish(job: Job, standing: list[Standing]) -> dict[str, Any] | None:
    """Return what is missing at the first station that is not finished."""
    here = next((s for s in standing if not s.closed), None)
    if here is None or job.closed_at is not None:
        return None
    name = job.machine.slug
    rows = [
        {"sentence": u.sentence, "url": reverse(u.page, args=[name]) + (f"#{u.anchor}" if u.anchor else "")}
        for u in here.unmet
    ]
    return {"label": here.station.label, "url": reverse(here.station.page, args=[name]), "rows": rows}


def facts(machine: Machine) -> list[tuple[str, str]]:
    """Return the facts that are known of one unit, as label and words."""
    notes = machine.notes
    mains = [measure(machine.volts, "V"), measure(machine.watts, "W"), machine.get_appliance_class_display()]
    cord = [measure(machine.cord_length_m, "m"), measure(machine.cord_section_mm2, "mm²")]
    boiler = [notes.get_boiler_metal_display().lower(), measure(notes.brew_boiler_l or notes.steam_boiler_l, "L")]
    grinder = ""
    if notes.grind_low is not None and notes.grind_high is not None:
        finer = {"LOWER": "lower is finer", "HIGHER": "higher is finer"}.get(notes.grind_finer, "")
        grinder = f"{measure(notes.grind_low)} to {measure(notes.grind_high)}, {finer}".rstrip(", ")
    rows = [
        ("Model", str(notes)),
        ("Mains", _joined(mains)),
        ("Cord", _joined(cord)),
        ("Plug", _joined([measure(machine.fuse_a, "A fuse"), machine.plug])),
        ("Boiler", _joined(boiler)),
        ("Grinder", grinder),
        ("Made", machine.date_code),
        ("Finish", machine.finish),
        ("Cups counted", measure(machine.cycle_count)),
    ]
    return [(label, value) for label, value in rows if value]


def _from_the_past(job: Job) -> list[tuple[str, str]]:
    """Return where a job came from, when a file of the past brought it, and its condition as written there."""
    row = PastRow.objects.filter(job=job).select_related("file").first()
    if row is None:
        return []
    lines = [("Brought in", f"from {row.file}, row {row.number}, on {day(row.file.brought_at)}")]
    score = measure(row.condition_score)
    return [*lines, ("Condition then", f"{score} of 10, as the old book says")] if score else lines


def _joined(parts: list[str]) -> str:
    return ", ".join(part for part in parts if part)
