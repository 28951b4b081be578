"""The sheet of one machine, composed from what was measured, done, told and agreed. Nothing typical, no blanks."""

from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from django.utils import translation

from handover import buyer_address, compose_care, compose_coffee, stations
from handover.compose_coffee import Brewing
from handover.models import Received, Reservation
from handover.sheet import (
    NBSP,
    Condition,
    Defects,
    MarkShown,
    Paper,
    ReadingRow,
    Row,
    Run,
    SafetyMessage,
    SheetContent,
    Signal,
    Workshop,
    join,
    say_date,
)
from handover.words import BuyerHas, Language
from intake import facts as intake_facts
from intake import pages as intake_pages
from workshop.bench import pages as bench_pages
from workshop.bench.pages import BenchOnSheet
from workshop.core.models import Counter, Job, ModelNotes, Reading, Shop
from workshop.core.words import ControlUse, Kind
from workshop.trade.care.spans import add_months
from workshop.trade.coffee.sources import MILK_STOP_C, PURGE_S, RELEASE_WAIT_S

SHEET_COUNTER = "sheet"

# Signal words by harm, texts our own: house policy, reviewed with workshop/trade/safety/cautions.py.
SAFETY = (
    SafetyMessage(Signal.WARNING, "Electric shock can kill.", "Unplug before you clean. Never open the case."),
    SafetyMessage(
        Signal.WARNING,
        "Hot water under pressure burns.",
        f"Never turn the filter handle while coffee runs. Wait {join(RELEASE_WAIT_S.value, 'seconds')} after it stops.",
    ),
    SafetyMessage(
        Signal.CAUTION,
        "Steam and hot metal burn.",
        "Point the steam pipe into the jug, away from hands. Keep children away.",
    ),
    SafetyMessage(Signal.NOTICE, "The pump can burn out.", "Never run it with the tank empty."),
)
GRINDER_SAFETY = (
    SafetyMessage(Signal.WARNING, "Electric shock can kill.", "Unplug before you clean. Never open the case."),
    SafetyMessage(Signal.CAUTION, "Burrs cut.", "Keep fingers out of the hopper. Unplug before you reach in."),
)


@dataclass(frozen=True, slots=True)
class Telling:
    """What a buyer is told before agreeing."""

    marks: list[dict[str, Any]] = field(default_factory=list)
    left: list[str] = field(default_factory=list)
    not_tested: list[str] = field(default_factory=list)
    nothing_tested: bool = False
    nothing_known: str = ""  # why nobody can be told anything yet


def to_tell(job: Job) -> Telling:
    """Return every mark that stands, every finding left, every test not made."""
    marks = [
        {"id": mark.pk, "number": mark.number, "words": intake_pages.mark_words(mark)}
        for mark in intake_pages.marks(job)
        if intake_pages.is_now(mark)
    ]
    read = Reading.objects.filter(job=job, struck=False, corrected_by__isnull=True).exists()
    not_tested = bench_pages.not_measured(job) if read else ["nothing on it was measured yet"]
    return Telling(marks, left_words(job), list(not_tested), nothing_known=_nothing_known(job, read))


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
    job: Job, *, number: int, issued_on: date, paper: str | None = None, token: str = "", language: str = ""
) -> SheetContent:
    """Compose the sheet. What was not measured is absent; a missing value is never filled with a usual one.

    `token` is the address of the buyer's page that is printed on it, where there is one; without a `language` it
    speaks the buyer's own.
    """
    spoken = language or language_of(standing_reservation(job))
    with translation.override(spoken):
        return replace(_sheet(job, number, issued_on, paper, token), language=spoken)


def language_of(reservation: Reservation | None) -> str:
    """Return what the buyer reads: English until somebody says otherwise."""
    return reservation.language if reservation else Language.EN.value


def _sheet(job: Job, number: int, issued_on: date, paper: str | None, token: str) -> SheetContent:
    shop, notes, machine = Shop.objects.get(pk=1), job.machine.notes, job.machine
    reservation = standing_reservation(job)
    bench = bench_pages.for_sheet(job)
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
        safety=GRINDER_SAFETY if notes.kind == Kind.GRINDER else SAFETY,
        steps=compose_coffee.steps(brewing),
        settings=compose_coffee.settings(brewing),
        adjusting=compose_coffee.adjusting(brewing),
        baskets=_baskets(notes, brewing),
        milk=_milk(notes, brewing),
        after_use=_after_use(notes, brewing),
        care=care.rows,
        care_from=care.start,
        habits=care.habits,
        done=tuple(bench.done),
        left=(*bench.left, *left_words(job)),
        readings=tuple(ReadingRow(r.what, r.limit, r.found, r.by_on) for r in bench.readings),
        readings_note=bench.edition_note,
        not_measured=f"Not measured here: {', '.join(bench.not_measured)}." if bench.not_measured else "",
        condition=condition,
        warranty=_warranty(shop, reservation, issued_on),
        buyer_address=buyer_address.printed(shop, token),
        received=tuple(received.lines) if received else (),
        defects=_defects(job),
        signatures=_signatures(condition),
    )


def _kind(notes: ModelNotes) -> str:
    return f"{notes}, {notes.get_kind_display().lower()}"


def _brewing(bench: BenchOnSheet, notes: ModelNotes, reservation: Reservation | None) -> Brewing:
    return Brewing(
        notes=notes,
        recipe=bench.recipe,
        controls={control.use: control for control in notes.controls.order_by("-pk")},
        scale=reservation.has_scale if reservation else BuyerHas.UNKNOWN,
        chart=bench.chart,
        tried=frozenset(bench.tried),
        step_s=bench.step_s,
        buttons=tuple(bench.buttons),
    )


def _baskets(notes: ModelNotes, brewing: Brewing) -> tuple[Row, ...]:
    rows = []
    for line in notes.baskets.splitlines():
        label, _, words = line.partition("|")
        if label.strip():
            rows.append(Row(label.strip(), words.strip()))
    water = brewing.controls.get(ControlUse.HOT_WATER)
    if water is not None:
        rows.append(Row(water.label.capitalize(), "hot water: it scalds"))
    return tuple(rows)


def _milk(notes: ModelNotes, brewing: Brewing) -> tuple[str, ...]:
    if not notes.has_steam or notes.kind == Kind.GRINDER:
        return ()
    tap = brewing.controls.get(ControlUse.STEAM)
    opens = f"{tap.label.capitalize()}:" if tap else "Open"
    return (
        f"{opens} {join(PURGE_S.value, 's')} into a cloth",
        "Tip just under the milk",
        f"Stop at {join(MILK_STOP_C.value, '°C')}: the jug is too hot to hold",
        f"Wipe. Open again, {join(PURGE_S.value, 's')}",
    )


def _after_use(notes: ModelNotes, brewing: Brewing) -> tuple[str, ...]:
    if notes.kind == Kind.GRINDER:
        return ()
    back = brewing.recipe.back_to_coffee if brewing.recipe else ""
    first = (f"After milk: {back[0].lower()}{back[1:]}",) if back else ()
    return (*first, "Knock out, rinse basket", "Empty the tray", "Leave the handle loose")


def _condition(job: Job) -> Condition:
    marks = intake_pages.marks_for_sheet(job)
    shown = tuple(MarkShown(mark.number, mark.words, mark.photo_sha) for mark in marks)
    return Condition(intake_pages.score_now(job).value, shown)


def _warranty(shop: Shop, reservation: Reservation | None, issued_on: date) -> tuple[Run, ...]:
    rights = "Your legal rights stay as they are."
    if not shop.warranty_months:
        return (Run(f"{shop.warranty_words} {rights}".strip()),)
    runs = []
    if reservation is not None and reservation.collect_on is not None:
        end = say_date(add_months(reservation.collect_on, shop.warranty_months)).replace(" ", NBSP)
        runs += [Run("Until "), Run(f"{end}. ", bold=True)]
    else:
        runs += [Run(f"{join(shop.warranty_months, 'months')} from the day you take it. ", bold=True)]
    return (*runs, Run(f"{shop.warranty_words} {rights}".strip()))


def _defects(job: Job) -> Defects | None:
    left = left_words(job)
    return Defects(f"You were told: {'; '.join(left)}.", "Buyer, told and agreed") if left else None


def _signatures(condition: Condition) -> tuple[str, ...]:
    numbers = [mark.number for mark in condition.marks]
    if not numbers:
        return ("Buyer, no marks seen", "For the workshop")
    seen = f"mark {numbers[0]}" if len(numbers) == 1 else f"marks {numbers[0]} to {numbers[-1]}"
    return (f"Buyer, {seen} seen", "For the workshop")
