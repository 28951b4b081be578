"""The sheet of one machine, composed from what was measured, done, told and agreed. Nothing typical, no blanks."""

from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from django.utils import translation
from django.utils.translation import gettext as _

from handover import (
    buyer_address,
    buyer_rights,
    compose_baskets,
    compose_card,
    compose_care,
    compose_everyday,
    compose_safety,
    compose_steps,
    films,
    kitchen,
    stations,
    wording,
)
from handover.blocks import BlockName
from handover.brewing import Brewing, runs
from handover.models import Received, Reservation
from handover.retold import by_on, retold, retold_all
from handover.sheet import (
    NBSP,
    Condition,
    Defects,
    MarkShown,
    Paper,
    PrintSize,
    ReadingRow,
    Run,
    SheetContent,
    Workshop,
    join,
    say_date,
)
from handover.wording import Words
from handover.words import Language
from intake import facts as intake_facts
from intake import pages as intake_pages
from intake.models import Finding
from intake.words import FindingEnd
from workshop.bench import pages as bench_pages
from workshop.bench import stations as bench_stations
from workshop.bench.pages import BenchOnSheet, SheetReading
from workshop.core import stations as core_stations
from workshop.core.models import Counter, Job, ModelNotes, Reading, Shop
from workshop.core.words import ControlUse
from workshop.trade.care.spans import add_months

SHEET_COUNTER = "sheet"


@dataclass(frozen=True, slots=True)
class Telling:
    """What a buyer is told before agreeing."""

    marks: list[dict[str, Any]] = field(default_factory=list)
    left: list[str] = field(default_factory=list)
    not_tested: list[str] = field(default_factory=list)
    nothing_tested: bool = False
    nothing_known: str = ""  # why nobody can be told anything yet


def to_tell(job: Job) -> Telling:
    """Return every mark that stands, all that was left or not put right yet, every test not made or not finished."""
    marks = [
        {"id": mark.pk, "number": mark.number, "words": intake_pages.mark_words(mark)}
        for mark in intake_pages.marks(job)
        if intake_pages.is_now(mark)
    ]
    read = was_measured(job)
    return Telling(
        marks,
        [*bench_pages.left_alone(job), *left_words(job), *_open_words(job)],
        [*bench_pages.not_measured(job), *_unfinished(job)] if read else [_("nothing on it was measured yet")],
        nothing_known=_nothing_known(job, read),
    )


def was_measured(job: Job) -> bool:
    """Say whether any reading of this job stands."""
    return Reading.objects.filter(job=job, struck=False, corrected_by__isnull=True).exists()


def _open_words(job: Job) -> list[str]:
    """Return the findings without an end yet: who agrees today must not take them for mended."""
    found = Finding.objects.filter(job=job, end=FindingEnd.OPEN).order_by("pk")
    return [_("%(found)s: not put right yet") % {"found": row.words} for row in found]


def _unfinished(job: Job) -> list[str]:
    """Return the one line that says so while Prove is not finished."""
    waiting = core_stations.one(bench_stations.PROVE, job.pk).unmet
    return [_("our tests of it are not finished")] if waiting else []


def _nothing_known(job: Job, read: bool) -> str:
    if intake_facts.is_looked_at(job):
        return ""
    return f"Nobody has looked it over yet{'' if read else ', nothing was measured'}. Walk round it first."


def left_words(job: Job) -> list[str]:
    """Return the findings that were left as they are, in words."""
    return stations.left_lines([job.pk])[job.pk]


def next_number() -> int:
    """Return the number the next sheet would get."""
    last = Counter.objects.filter(name=SHEET_COUNTER).values_list("last", flat=True).first()
    return (last or 0) + 1


def standing_reservation(job: Job) -> Reservation | None:
    """Return the reservation that stands, if any; a machine that came back keeps the one of its sale."""
    return Reservation.objects.filter(job_id=job.first_job_id or job.pk, cancelled_at__isnull=True).first()


def is_dated(job: Job) -> bool:
    """Say whether the care calendar can carry dates: a collection day is agreed."""
    reservation = standing_reservation(job)
    return reservation is not None and reservation.collect_on is not None


def sheet(
    job: Job,
    *,
    number: int,
    issued_on: date,
    paper: str | None = None,
    token: str = "",
    language: str = "",
    size: str = PrintSize.USUAL,
    bench: BenchOnSheet | None = None,
) -> SheetContent:
    """Compose the sheet. What was not measured is absent; a missing value is never filled with a usual one.

    `token` is the address of the buyer's page that is printed on it, where there is one; without a `language` it
    speaks the buyer's own; `bench` is what the bench has for it, where the caller read that already.
    """
    reservation = standing_reservation(job)
    spoken = language or language_of(reservation)
    with translation.override(spoken):
        bench = bench or bench_pages.for_sheet(job)
        composed = _sheet(job, reservation, bench, number, issued_on, paper, token, wording.of(spoken))
        return replace(composed, language=spoken, size=PrintSize(size))


def language_of(reservation: Reservation | None) -> str:
    """Return what the buyer reads: English until somebody says otherwise."""
    return reservation.language if reservation else Language.EN.value


def _sheet(
    job: Job,
    reservation: Reservation | None,
    bench: BenchOnSheet,
    number: int,
    issued_on: date,
    paper: str | None,
    token: str,
    own: Words,
) -> SheetContent:
    shop, notes, machine = Shop.objects.get(pk=1), job.machine.notes, job.machine
    left = left_words(job)
    brewing = _brewing(bench, notes, reservation)
    received = Received.objects.filter(job=job).order_by("-pk").first()
    condition = _condition(job)
    care = compose_care.plan(notes, reservation, shop, issued_on)
    return SheetContent(
        name=machine.name,
        kind_words=_kind(notes),
        serial=machine.serial_words,
        workshop=Workshop(shop.name, shop.address, shop.phone.replace(" ", NBSP)),
        number=number,
        issued_on=issued_on,
        paper=Paper(paper or shop.paper),
        safety=(*compose_safety.messages(notes), *own.safety),
        call=own.text(BlockName.CALL, ""),
        steps=compose_steps.steps(brewing),
        settings=compose_card.settings(brewing),
        adjusting=compose_card.adjusting(brewing),
        baskets=compose_baskets.rows(brewing),
        milk=compose_everyday.milk(brewing, own),
        after_use=compose_everyday.after_use(brewing, own),
        never=compose_everyday.never(brewing, own),
        care=care.rows,
        care_from=care.start,
        habits=care.habits,
        care_note=care.note,
        done=retold_all(bench.done),
        left=(*retold_all(bench.left), *left),
        readings=_reading_rows(bench.readings),
        more_readings=_reading_rows(bench.more_readings),
        readings_note=" ".join(retold_all(bench.notes)),
        not_measured=_not_measured(bench.not_measured),
        condition=condition,
        warranty=_warranty(shop, reservation, issued_on, own),
        buyer_address=buyer_address.printed(shop, token),
        film=films.shown(films.standing(job)),
        received=tuple(received.lines) if received else (),
        defects=_defects(left, shop),
        signatures=_signatures(condition),
    )


def _kind(notes: ModelNotes) -> str:
    return f"{notes}, {retold(notes.get_kind_display().lower())}"


def _reading_rows(rows: list[SheetReading]) -> tuple[ReadingRow, ...]:
    return tuple(ReadingRow(retold(row.what), retold(row.limit), retold(row.found), by_on(row.by_on)) for row in rows)


def _not_measured(names: list[str]) -> str:
    return _("Not measured here: %(names)s.") % {"names": ", ".join(retold_all(names))} if names else ""


def _brewing(bench: BenchOnSheet, notes: ModelNotes, reservation: Reservation | None) -> Brewing:
    controls = list(notes.controls.order_by("-pk"))
    return Brewing(
        notes=notes,
        recipe=bench.recipe,
        controls={control.use: control for control in controls},
        coffee_labels=frozenset(control.label for control in controls if control.use == ControlUse.COFFEE),
        kitchen=kitchen.of(reservation),
        chart=bench.chart,
        tried=frozenset(bench.tried),
        step_s=bench.step_s,
        buttons=tuple(bench.buttons),
        new_seal=bench.new_group_seal,
        measured=bench.proved,
    )


def _condition(job: Job) -> Condition:
    marks = intake_pages.marks_for_sheet(job)
    shown = tuple(MarkShown(mark.number, retold(mark.words), mark.photo_sha) for mark in marks)
    return Condition(intake_pages.score_now(job).value, shown)


def _warranty(shop: Shop, reservation: Reservation | None, issued_on: date, own: Words) -> tuple[Run, ...]:
    rights = buyer_rights.beside_warranty(shop.country)
    rest = Run(f"{own.text(BlockName.WARRANTY, shop.warranty_words)} {rights}".strip())
    if not shop.warranty_months:
        return (rest,)
    if reservation is None or reservation.collect_on is None:
        months = {"months": join(shop.warranty_months, _("months"))}
        return (Run(_("%(months)s from the day you take it.") % months + " ", bold=True), rest)
    end = say_date(add_months(reservation.collect_on, shop.warranty_months)).replace(" ", NBSP)
    return (*_runs_until(end), rest)


def _runs_until(end: str) -> tuple[Run, ...]:
    return (*runs(_("Until *%(day)s.*") % {"day": end}), Run(" "))


def _defects(left: list[str], shop: Shop) -> Defects | None:
    """What was left, with a signature of its own; where the place's law wants that, agreed apart from the rest."""
    if not left:
        return None
    return Defects(f"{'; '.join(left)}.", buyer_rights.defects_signature(shop.country))


def _signatures(condition: Condition) -> tuple[str, ...]:
    numbers = [mark.number for mark in condition.marks]
    workshop = _("For the workshop")
    if not numbers:
        return (_("Buyer, no marks seen"), workshop)
    values = {"first": numbers[0], "last": numbers[-1]}
    if len(numbers) == 1:
        return (_("Buyer, mark %(first)s seen") % values, workshop)
    return (_("Buyer, marks %(first)s to %(last)s seen") % values, workshop)
