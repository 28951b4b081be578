"""Learn from this machine: what one unit could teach the notes of its model, line by line."""

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from statistics import median
from typing import Any

from intake.models import LoosePart
from workshop.bench.models import DescaleRun, Recipe, SealWork
from workshop.bench.words import SealEnd
from workshop.core.acts import plain
from workshop.core.models import Job, Machine, ModelNotes, Reading
from workshop.core.templatetags.measures import measure
from workshop.core.words import JobKind, Outcome
from workshop.pricing import costs
from workshop.trade import scales
from workshop.trade.safety.electrical import ApplianceClass
from workshop.trade.water.descaling import Agent

NOTHING = "nothing yet"


@dataclass(frozen=True, slots=True)
class Lesson:
    """One thing a unit can teach: what the notes say, what this machine says, and what would be written."""

    code: str
    label: str
    notes_say: str
    machine_says: str
    values: dict[str, Any] = field(default_factory=dict)
    seal_sizes: dict[int, str] = field(default_factory=dict)
    who: str = "this machine"

    @property
    def same(self) -> bool:
        """Say whether the notes know it already."""
        return self.notes_say == self.machine_says

    @property
    def words(self) -> str:
        """Return the line as a choice reads."""
        return f"{self.label}: notes say {self.notes_say}, {self.who} says {self.machine_says}"


def lessons(job: Job) -> list[Lesson]:
    """Return what this unit and the closed jobs of its model can teach, in the order of the notes."""
    unit, notes = job.machine, job.machine.notes
    recipe = Recipe.objects.filter(job=job, struck_at__isnull=True).order_by("-pk").first()
    found = [
        *_mains(unit, notes),
        *_pump(job, notes),
        *(_coffee(recipe, notes) if recipe else ()),
        *_seals(job),
        *_descale(job, notes),
        *_minutes(notes),
        *_loose(job, notes),
    ]
    return [lesson for lesson in found if lesson.machine_says]


def fingerprint(found: list[Lesson]) -> str:
    """Return a short mark of every line, so that a page that has grown old is noticed."""
    rows = [[each.code, plain(each.values), each.seal_sizes, each.notes_say] for each in found]
    return hashlib.sha256(json.dumps(rows, sort_keys=True).encode()).hexdigest()[:32]


def _one(code: str, label: str, unit: str, notes: ModelNotes, value: Any) -> Lesson:
    return Lesson(code, label, measure(getattr(notes, code), unit) or NOTHING, measure(value, unit), {code: value})


def _mains(machine: Machine, notes: ModelNotes) -> Iterator[Lesson]:
    columns = (
        ("volts", "Volts", "V"),
        ("watts", "Watts on the plate", "W"),
        ("cord_length_m", "Cord length", "m"),
        ("cord_section_mm2", "Cord section", "mm²"),
        ("fuse_a", "Plug fuse", "A"),
    )
    for code, label, unit in columns:
        yield _one(code, label, unit, notes, getattr(machine, code))
    known, read = ApplianceClass(notes.appliance_class).label, ApplianceClass(machine.appliance_class).label
    yield Lesson("appliance_class", "Class", known, read, {"appliance_class": machine.appliance_class})


def _pump(job: Job, notes: ModelNotes) -> Iterator[Lesson]:
    """A pump that read well teaches its watts, where its own plate cannot be read."""
    rows = Reading.objects.filter(job=job, item="watts_pumping", struck=False, corrected_by__isnull=True)
    newest = rows.order_by("-at", "-pk").first()
    if newest is not None and newest.value is not None and newest.outcome in (Outcome.PASS, Outcome.RECORDED):
        yield _one("pump_watts", "Watts of the pump", "W", notes, round(newest.value))


def _gauge(recipe: Recipe, notes: ModelNotes) -> Iterator[Lesson]:
    """The zone of the needle in a shot, where it was said as on a clock face."""
    low, _, high = recipe.gauge_zone.partition(" to ")
    try:
        start, end = (scales.say(scales.CLOCK_FACE, scales.parse(scales.CLOCK_FACE, words)) for words in (low, high))
    except ValueError:
        return
    known = f"{notes.gauge_from} to {notes.gauge_to}" if notes.gauge_from and notes.gauge_to else NOTHING
    values = {"has_gauge": True, "gauge_from": start, "gauge_to": end}
    yield Lesson("gauge", "Gauge in a shot", known, f"{start} to {end}", values)


def _coffee(recipe: Recipe, notes: ModelNotes) -> Iterator[Lesson]:
    yield _one("dose_g", "Reference dose", "g", notes, recipe.dose_g)
    yield _one("yield_g", "Reference yield", "g", notes, recipe.yield_g)
    window = {"time_low_s": recipe.time_low_s, "time_high_s": recipe.time_high_s}
    says = _range(notes.time_low_s, notes.time_high_s, "s"), _range(recipe.time_low_s, recipe.time_high_s, "s")
    yield Lesson("time", "Target time", *says, window)
    if recipe.ready_measured and recipe.ready_low_min is not None:
        high = recipe.ready_high_min or recipe.ready_low_min
        low_min, high_min = _whole(recipe.ready_low_min, ROUND_FLOOR), _whole(high, ROUND_CEILING)
        says = _range(notes.warm_up_low_min, notes.warm_up_high_min, "min"), _range(low_min, high_min, "min")
        yield Lesson("warm_up", "Warm-up", *says, {"warm_up_low_min": low_min, "warm_up_high_min": high_min})
    yield from _gauge(recipe, notes)
    if recipe.basket:
        yield _line("baskets", "Baskets", notes.baskets, [recipe.basket])


def _range(low: Any, high: Any, unit: str) -> str:
    if low is None and high is None:
        return NOTHING
    if low is None or high is None or low == high:
        return measure(low if low is not None else high, unit)
    return f"{measure(low)} to {measure(high, unit)}"


def _whole(value: Decimal, rounding: str) -> int:
    return int(value.to_integral_value(rounding))


def _line(code: str, label: str, text: str, more: list[str]) -> Lesson:
    """Return a lesson that adds lines to a list of the notes; what is there stays."""
    have = [line.strip() for line in text.splitlines() if line.strip()]
    known = {line.split("|")[0].strip().casefold() for line in have}
    new = [words for words in more if words.strip() and words.split("|")[0].strip().casefold() not in known]
    says = ", ".join(have) or NOTHING
    if not new:
        return Lesson(code, label, says, says if more else "")
    return Lesson(code, label, says, f"also {', '.join(new)}", {code: "\n".join([*have, *new])})


def _seals(job: Job) -> Iterator[Lesson]:
    newest: dict[int, SealWork] = {}
    for row in SealWork.objects.filter(job=job).select_related("position").order_by("pk"):
        newest[row.position_id] = row
    for row in newest.values():
        if row.end == SealEnd.CHANGED and row.size:
            seal = row.position
            code, label = f"seal_{seal.pk}", f"{seal.name}, size fitted"
            yield Lesson(code, label, seal.size or NOTHING, row.size, seal_sizes={seal.pk: row.size})


def _descale(job: Job, notes: ModelNotes) -> Iterator[Lesson]:
    run = DescaleRun.objects.filter(job=job, struck_at__isnull=True).order_by("-pk").first()
    if run is None:
        return
    values = {
        "descale_agent": run.agent,
        "descale_strength_percent": run.strength_percent,
        "descale_litres": run.volume_l,
        "descale_minutes": run.minutes,
    }
    known, used = _descaled(*(getattr(notes, code) for code in values)), _descaled(*values.values())
    yield Lesson("descale", "Descale as usual", known, used, values)


def _descaled(agent: str, strength: Any, litres: Any, minutes: Any) -> str:
    label = Agent(agent).label if agent in {each.value for each in Agent} else agent
    parts = [measure(litres, "L"), measure(strength, "%"), label, measure(minutes, "min")]
    return ", ".join(part for part in parts if part) or NOTHING


def _minutes(notes: ModelNotes) -> Iterator[Lesson]:
    closed = Job.objects.filter(machine__notes=notes, kind=JobKind.REFURBISH, closed_at__isnull=False)
    spent = [each for each in costs.minutes_spent(list(closed.values_list("pk", flat=True))).values() if each]
    if spent:
        jobs = "1 closed job" if len(spent) == 1 else f"the middle of {len(spent)} closed jobs"
        yield replace(_one("usual_minutes", "Usual minutes", "min", notes, round(median(spent))), who=jobs)


def _loose(job: Job, notes: ModelNotes) -> Iterator[Lesson]:
    counted = LoosePart.objects.filter(job=job, counted__gt=0).order_by("pk")
    yield _line("loose_parts", "Loose parts that belong with it", notes.loose_parts, [row.words for row in counted])
