"""What the machine record says of the bench: seals, parts, descaling, readings, recipe and shots, and nobody's name.

Rows of `workshop/core/machine_record/schema.json`: measures as they stand, days, nothing that is empty.
"""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django.utils import timezone

from workshop.bench.facts import clean as clean_facts
from workshop.bench.facts import prove as prove_facts
from workshop.bench.facts.prove import ItemState, ProveFacts
from workshop.bench.models import DescaleRun, Recipe, Rinse, SealWork, Shot, WorkDone
from workshop.bench.models.corrections import STANDS
from workshop.core.models import Job, Reading
from workshop.parts.models import Movement
from workshop.trade.water.acids import Agent

Row = dict[str, Any]
_COUNTED = (ItemState.PASSED, ItemState.FAILED, ItemState.NOT_POSSIBLE)
_OF_READING = (
    "state", "value", "value_to", "sign", "unit", "outcome", "edition", "source", "own_limit",
    "calibration_due_on", "test_volts", "test_current_a", "leads_nulled", "lead_ohm", "warmth", "note", "second_look",
)  # fmt: skip
_OF_RECIPE = (
    "coffee", "roasted_on", "grinder", "basket", "dose_g", "dose_tolerance_g", "portions", "selector",
    "tamp_cue", "lock_in", "yield_g", "yield_low_g", "yield_high_g", "time_s", "first_time_s", "time_low_s",
    "time_high_s", "timed_from", "gauge_zone", "blank_shots", "steam_ready_s", "back_to_coffee_s", "back_to_coffee",
)  # fmt: skip
_OF_OWN_GRINDER = ("grind_setting", "dose_dial", "left_set_at")  # a number on our grinder means nothing elsewhere
_OF_SHOT = ("number", "dose_g", "yield_g", "time_s", "first_drip_s", "tds_percent", "gauge_bar")


def rows(job: Job) -> dict[str, Any]:
    """Return the bench's part of the record of one job, by the names of the schema."""
    proved = prove_facts.facts([job.pk])[job.pk]
    cleaned = clean_facts.facts([job.pk])[job.pk]
    rinses = Rinse.objects.filter(job=job, struck_at__isnull=True).order_by("pk")
    return {
        "seals": [_seal(row) for row in _seals(job)],
        "parts": [_part(row) for row in _movements(job)],
        "descaling": [_descaling(run) for run in cleaned.runs],
        "rinsing": [{"path": r.get_path_display(), "volume_l": r.volume_l, "on": _day(r.at)} for r in rinses],
        "readings": _readings(job, proved),
        "recipe": _recipe(proved.recipe) if proved.recipe and proved.recipe_holds() else None,
        "shots": [_shot(row) for row in Shot.objects.current().filter(job=job)],
    }


def _day(at: datetime) -> date:
    return timezone.localtime(at).date()


def _columns(row: Any, names: Iterable[str]) -> Row:
    return {name: getattr(row, name) for name in names}


def _seals(job: Job) -> list[SealWork]:
    newest: dict[int, SealWork] = {}
    for row in SealWork.objects.filter(STANDS, job=job).select_related("position").order_by("pk"):
        newest[row.position_id] = row
    return list(newest.values())


def _seal(row: SealWork) -> Row:
    said = _columns(row, ("end", "why", "size", "material", "thickness_mm"))
    return {"position": row.position.name, **said, "lock_in": row.lock_in_clock, "on": _day(row.at)}


def _movements(job: Job) -> list[Movement]:
    """Return the parts that went in and stayed: a piece of work or a seal that stands took them."""
    took = [
        *SealWork.objects.filter(STANDS, job=job, movement__isnull=False).values_list("movement", flat=True),
        *WorkDone.objects.filter(job=job, struck_at=None, movement__isnull=False).values_list("movement", flat=True),
    ]
    return list(Movement.objects.filter(pk__in=took, qty__lt=0).select_related("part").order_by("pk"))


def _part(row: Movement) -> Row:
    return {**_columns(row.part, ("name", "size", "material")), "pieces": -row.qty, "on": _day(row.at)}


def _descaling(run: DescaleRun) -> Row:
    said = _columns(run, ("strength_percent", "volume_l", "minutes", "acid_g"))
    return {"agent": Agent(run.agent).label, **said, "on": _day(run.at)}


def _readings(job: Job, facts: ProveFacts) -> list[Row]:
    held = [s for s in facts.states.values() if s.state in _COUNTED]
    counted = {each.pk for s in held for each in (s.reading, *s.looks) if each is not None}
    kept = Reading.objects.filter(job=job, struck=False, corrected_by__isnull=True)
    return [_reading(row, row.pk in counted) for row in kept.select_related("instrument").order_by("at", "pk")]


def _reading(row: Reading, counts: bool) -> Row:
    instrument = row.instrument
    return {
        "what": row.title,
        **_columns(row, _OF_READING),
        "limit": row.limit_words,
        "low": row.limit_low,
        "high": row.limit_high,
        "why": row.reason,
        "instrument": instrument.name if instrument else "",
        "instrument_serial": instrument.serial if instrument else "",
        "outside": row.report_id is not None,
        "on": _day(row.done_at),
        "counts": counts,
    }


def _recipe(recipe: Recipe) -> Row:
    ready = _columns(recipe, ("ready_low_min", "ready_high_min")) if recipe.ready_measured else {}
    own = _columns(recipe, _OF_OWN_GRINDER) if recipe.built_in_grinder else {}
    return {**_columns(recipe, _OF_RECIPE), **own, **ready, "on": _day(recipe.set_at)}


def _shot(row: Shot) -> Row:
    setting = row.setting_words if row.built_in_grinder else ""
    return {**_columns(row, _OF_SHOT), "setting": setting, "on": _day(row.at), "counts": not row.spoilt}
