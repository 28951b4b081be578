"""Prepared rows of the bench for other floors: the Machine page's sections and what the sheet prints."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.urls import reverse
from django.utils import timezone

from intake.models import Finding
from intake.words import FindingEnd
from workshop.bench import escapes, pages_dose, pages_mend, pages_recipe, pages_shots, pauses, say
from workshop.bench.cards import not_owned
from workshop.bench.chart import ShotChart
from workshop.bench.facts import clean as clean_facts
from workshop.bench.facts import prove as prove_facts
from workshop.bench.facts.prove import ItemState, ProveFacts, Standing
from workshop.bench.models import Recipe, SealWork
from workshop.bench.models.corrections import STANDS
from workshop.bench.pages_card import card_url
from workshop.bench.pages_dose import ProvedButton
from workshop.bench.pages_prove import ProveRow, prove_rows
from workshop.bench.words import SealEnd
from workshop.core.models import Job, Reading
from workshop.core.templatetags.measures import NBSP, measure, number
from workshop.core.words import full_stop, listed, small


def _facts(job: Job) -> ProveFacts:
    return prove_facts.facts([job.pk])[job.pk]


# --- sections of the Machine page ------------------------------------------------------------------------


def readings_section(job: Job) -> dict[str, Any]:
    """Return the rows of What we measured: only what has an answer."""
    facts = _facts(job)
    rows: list[ProveRow] = [row for row in prove_rows(job, facts) if not row.unmet]
    return {"rows": rows, "url": reverse("bench:prove", args=[job.machine.slug])}


def pause_section(job: Job, today: date) -> dict[str, Any] | None:
    """Return where somebody paused on this machine, None where nobody did or it has left. One query."""
    pause = None if job.closed_at else pauses.standing([job.pk]).get(job.pk)
    if pause is None:
        return None
    return {"words": pauses.words(pause, today), "url": card_url(job.machine.slug, pause.card)}


def escape_section(job: Job) -> dict[str, Any]:
    """Return what should have caught why a machine came back, where somebody said it."""
    url = reverse("bench:escape_answer", args=[job.machine.slug])
    return {"answer": escapes.answers([job.pk]).get(job.pk), "url": url}


@dataclass(frozen=True, slots=True)
class WorkLine:
    """One line of Work and parts."""

    glyph: str
    words: str
    at: datetime


def work_section(job: Job) -> dict[str, Any]:
    """Return what was done on the machine, in the order done."""
    lines = [WorkLine("full", f"{row.what}, {row.minutes} min", row.at) for row in pages_mend.work_rows(job)]
    lines += [WorkLine(_seal_glyph(row), _seal_line(row), row.at) for row in _seals(job)]
    facts = clean_facts.facts([job.pk])[job.pk]
    lines += [WorkLine("full", f"Descaled: {run}", run.at) for run in facts.runs]
    lines.sort(key=lambda line: line.at)
    return {"lines": lines, "url": reverse("bench:mend", args=[job.machine.slug]) + "#work"}


def _seals(job: Job) -> list[SealWork]:
    newest: dict[int, SealWork] = {}
    for row in SealWork.objects.filter(STANDS, job=job).select_related("position").order_by("pk"):
        newest[row.position_id] = row
    return list(newest.values())


def _seal_glyph(row: SealWork) -> str:
    return "full" if row.end == SealEnd.CHANGED else "na"


def _seal_line(row: SealWork) -> str:
    return f"{row.position.name}: {pages_mend.seal_words(row)}"


def coffee_section(job: Job) -> dict[str, Any]:
    """Return the figures of Coffee: the recipe's where it stands, else what to try next."""
    facts = _facts(job)
    figures: list[tuple[str, str]] = []
    recipe = facts.recipe if facts.dial_in and facts.recipe_holds() else None
    if recipe is not None:
        figures = [
            (recipe.grind_setting or "ours", "grinder"),
            (measure(recipe.dose_g, "g"), "coffee in"),
            (measure(recipe.yield_g, "g"), "in the cup"),
            (measure(recipe.time_s, "s"), recipe.time_words),
        ]
    elif facts.dial_in is not None:
        target = facts.dial_in.target
        window = f"{number(target.time_low_s)} to {measure(target.time_high_s, 's')}"
        figures = [
            (measure(target.dose_g, "g"), "to dose"),
            (measure(target.yield_g, "g"), "to pull"),
            (window, "target time"),
        ]
    return {
        "figures": figures,
        "proved": recipe is not None,
        "count": len(facts.dial_in.rows) if facts.dial_in else 0,
        "pulls": facts.dial_in is not None,
        "url": reverse("bench:shots", args=[job.machine.slug]),
    }


# --- what the sheet prints -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SheetReading:
    """One reading as the sheet prints it."""

    what: str
    limit: str
    found: str
    by_on: str


_READ = (ItemState.PASSED, ItemState.FAILED)
# Insulation read hot stays on Prove and the Machine page: a row more would push a full sheet to a third page.
_ON_SHEET = ("earth", "insulation", "leakage", "touch", "leak_hot", "pressure", "brew_water")
_ROOM_ALLOWS = ("steam_ready", "steam_power", "hot_water", "spout_balance")
_PROVED = ("brew_water", "pressure_shot", "hot_water", "steam_power")  # what the counter's page may say a value of


@dataclass(frozen=True, slots=True)
class BenchOnSheet:
    """Everything the sheet prints that the bench found, did and proved: read once."""

    readings: list[SheetReading]
    notes: list[str]
    not_measured: list[str]
    done: list[str]
    left: list[str]
    recipe: Recipe | None
    chart: ShotChart | None
    tried: list[str]  # settings pulled on this machine, in the scale's words
    step_s: int | None
    buttons: list[ProvedButton]  # each proved button with what it delivers
    more_readings: list[SheetReading]  # printed where the sheet has room
    proved: dict[str, Decimal]  # passed readings by their item, in its unit; the middle of a series
    new_group_seal: bool


def for_sheet(job: Job) -> BenchOnSheet:
    """Return what the bench has for the sheet; the recipe only where it still rests on its two shots."""
    facts = _facts(job)
    recipe = facts.recipe if facts.dial_in is not None and facts.recipe_holds() else None
    charted = facts.dial_in if recipe is not None and recipe.built_in_grinder else None
    seals = _seals(job)
    done, left = _work(job, seals)
    return BenchOnSheet(
        readings=_readings(facts, recipe),
        notes=_notes(facts),
        not_measured=_not_measured(facts),
        done=done,
        left=left,
        recipe=recipe,
        chart=pages_shots.sheet_chart(charted, recipe) if charted and recipe else None,
        tried=[row.setting_words for row in charted.rows if not row.spoilt] if charted else [],
        step_s=pages_shots.step_seconds(charted, recipe) if charted and recipe else None,
        buttons=pages_recipe.buttons(facts, pages_dose.weighings(job, facts), recipe) if recipe else [],
        more_readings=_rows_of(facts, _ROOM_ALLOWS),
        proved=_proved(facts),
        new_group_seal=any(row.position.is_group and row.end == SealEnd.CHANGED for row in seals),
    )


def left_alone(job: Job) -> list[str]:
    """Return what the work left as it was, in short lines: seals that were kept, a descale that was not needed."""
    return _work(job, _seals(job))[1]


def _readings(facts: ProveFacts, recipe: Recipe | None) -> list[SheetReading]:
    """The electrical ones, leaks, pressure, heat, and the two shots."""
    rows = _rows_of(facts, _ON_SHEET)
    if recipe is not None:
        rows.append(_in_a_row(facts, recipe))
    return rows


def _rows_of(facts: ProveFacts, codes: tuple[str, ...]) -> list[SheetReading]:
    standings = (facts.states.get(code) for code in codes)
    return [_sheet_reading(s, facts) for s in standings if s is not None and s.reading is not None and s.state in _READ]


def _proved(facts: ProveFacts) -> dict[str, Decimal]:
    """What passed, as one value each: of a series or a range the middle."""
    found = {}
    for code in _PROVED:
        standing = facts.states.get(code)
        reading = standing.reading if standing and standing.state is ItemState.PASSED else None
        if reading is not None and reading.value is not None:
            far = reading.value if reading.value_to is None else reading.value_to
            found[code] = (reading.value + far) / 2
    return found


def _in_a_row(facts: ProveFacts, recipe: Recipe) -> SheetReading:
    """The shots the recipe rests on."""
    run = facts.dial_in.run(recipe) if facts.dial_in else []
    times = [f"{number(row.time_s)} s" for row in run]
    what = f"{'Two' if len(run) == 2 else len(run)} coffees in a row"
    return SheetReading(what, "within 3 s", listed(times), _by_on(run[-1].by, run[-1].at))


def _sheet_reading(standing: Standing, facts: ProveFacts) -> SheetReading:
    reading = standing.reading
    if reading is None:
        raise ValueError("A reading on the sheet must have been read.")
    limit = say.limit_words(standing, facts.unit).partition(", no more")[0]  # a range shows its own spread
    return SheetReading(
        reading.title,
        limit,
        say.found_words(reading),
        _read_by_on(reading),
    )


def _read_by_on(reading: Reading) -> str:
    report = reading.report
    if report is None:
        return _by_on(reading.by, reading.at)
    return f"{report.who}, {report.measured_on:%-d}{NBSP}{report.measured_on:%b}"


def _by_on(by: object, at: datetime) -> str:
    """Say who and when as the sheet's narrow column does: "Sam, 10 Nov"."""
    return f"{by}, {timezone.localtime(at):%-d}{NBSP}{timezone.localtime(at):%b}"


def not_measured(job: Job) -> list[str]:
    """Return what was not measured here, and what was not possible with its reason."""
    return _not_measured(_facts(job))


def _not_measured(facts: ProveFacts) -> list[str]:
    names = [small(item.title) for item in not_owned(facts.every_card, facts.owned, full=facts.full)]
    names += [
        f"{small(standing.item.title)} ({small(standing.reading.reason)})"
        for standing in facts.asked()
        if standing.state is ItemState.NOT_POSSIBLE and standing.reading
    ]
    return names


def _notes(facts: ProveFacts) -> list[str]:
    """The edition the electrical limits come from, what changed them, and whose calibration had run out."""
    read = [s for code in _ON_SHEET if (s := facts.states.get(code)) and s.reading and s.state in _READ]
    measured = [s for s in read if s.item.measure is not None]
    editions = sorted({_edition(s) for s in measured if not _own(s)} - {""})
    compared = sorted({_edition(s) for s in measured if _own(s)} - {"", *editions})
    said = [f"Electrical limits: {'; '.join(editions)}. The other limits are our own."] if editions else []
    said += [f"Our own electrical limits were compared with: {'; '.join(compared)}."] if compared else []
    said += [full_stop(f"{s.reading.title}: {words}") for s in read if s.reading for words in _beside(s, s.reading)]
    return said


def _edition(standing: Standing) -> str:
    if standing.limit is not None:
        return standing.limit.edition
    return standing.reading.edition if standing.reading else ""


def _own(standing: Standing) -> str:
    """How our own limit changed the one that counts; empty where it did not."""
    if standing.limit is not None:
        return standing.limit.own
    return standing.reading.own_limit if standing.reading else ""


def _beside(standing: Standing, reading: Reading) -> list[str]:
    """What must stand beside a reading on paper."""
    report = reading.report
    outside = f"report {report.number} by {report.who}" if report and report.number else ""
    return [each for each in (outside, say.overdue_words(reading), _own(standing)) if each]


def _work(job: Job, seals: list[SealWork]) -> tuple[list[str], list[str]]:
    """What was done, and what was left as it was, in short lines."""
    facts = clean_facts.facts([job.pk])[job.pk]
    done, left = [], []
    if facts.runs:
        times = {1: "once", 2: "twice"}.get(len(facts.runs), f"{len(facts.runs)} times")
        done.append(f"Descaled {times}, rinsed clean, flushed")
    elif facts.descale_not_needed:
        left.append(f"Not descaled: {facts.descale_not_needed}")
    done += [_new_seal(row) for row in seals if row.end == SealEnd.CHANGED]
    left += _kept_seals(seals)
    done += [row.what for row in pages_mend.work_rows(job) if row.station == "MEND"]
    ended = Finding.objects.filter(job=job, end__in=(FindingEnd.MENDED, FindingEnd.NOT_SEEN_AGAIN)).order_by("pk")
    done += [f"{row.get_end_display()}: {small(row.words)}" for row in ended]
    return done, left


def _new_seal(row: SealWork) -> str:
    return f"New {small(row.position.name)}"


def _kept_seals(rows: list[SealWork]) -> list[str]:
    """Return the seals that stayed, one line for all that stayed for the same reason."""
    by_reason: dict[str, list[str]] = {}
    for row in rows:
        if row.end != SealEnd.CHANGED:
            reason = row.why or ("not disturbed" if row.end == SealEnd.NOT_DISTURBED else "kept")
            by_reason.setdefault(reason, []).append(row.position.name)
    return [
        f"{', '.join([names[0], *(small(name) for name in names[1:])])}: {reason}"
        for reason, names in by_reason.items()
    ]
