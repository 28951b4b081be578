"""Writers of the past: a file is kept, its columns are matched, and it comes in whole or not at all."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

from django.db.models import F
from django.utils import timezone

from intake import services as intake
from intake.services import OldMachine
from workshop.bench.services import work
from workshop.core import acts, services
from workshop.core.acts import Act, Odd, Refused
from workshop.core.models import Job, JournalEntry, ModelNotes, Place, Shop
from workshop.core.words import Area, ClosedAs
from workshop.desk import find
from workshop.desk.models import PastFile, PastRow
from workshop.desk.past import check
from workshop.desk.past.check import Ready
from workshop.desk.past.tables import Table
from workshop.desk.words import Past
from workshop.pricing import services as pricing
from workshop.pricing.services import PastSale

KEPT_DAYS = 14  # a file that nobody brings in holds sellers' names: as long as a session. House policy.
REASONS_SHOWN = 3  # the page below has them all
WORK_WORDS = "Work, as the old book says"


def keep_file(act: Act, *, kind: str, name: str, table: Table, columns: Mapping[str, int]) -> JournalEntry:
    """Keep a file that was read, and sweep those that nobody brought in for 14 days."""
    with acts.once(act):
        old = PastFile.objects.filter(at__lt=act.at - timedelta(days=KEPT_DAYS), brought_at__isnull=True)
        old.exclude(rows=[]).update(rows=[], version=F("version") + 1)
        row = PastFile.objects.create(
            kind=kind,
            name=name,
            headings=list(table.headings),
            rows=[[number, list(cells)] for number, cells in table.rows],
            row_count=len(table.rows),
            said=list(table.said),
            columns=dict(columns),
            by=act.by,
            at=act.at,
        )
        sentence = f"Read {name}: {row.row_count} rows, nothing brought in yet"
        return acts.write(act, "keep_past_file", sentence, row, area=Area.SHOP)


def match_columns(act: Act, file: PastFile, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Keep which column is which, how dates are read, the kind of new models. :raises Stale: changed meanwhile."""
    with acts.once(act):
        _still_here(file, version)
        before, after = acts.change(file, version, values)
        sentence = f"Matched the columns of {file.name}"
        return acts.write(act, "match_past_columns", sentence, file, area=Area.SHOP, before=before, after=after)


def bring_in(act: Act, shop: Shop, file: PastFile, version: int, sure: str = "") -> JournalEntry:
    """Bring in every row of a file, or none.

    :raises Refused: with a sentence for each row at fault; when nothing is new in it; when it came in before.
    :raises Odd: with a sentence for each absurd price, until a second press says yes
    :raises Stale: when its columns were matched anew meanwhile
    """
    with acts.once(act):
        _still_here(file, version)
        found = check.report(file, shop, act.day)
        _refuse(found, sure)
        acts.change(file, version, {"rows": [], "brought_at": act.at, "brought_by": act.by})
        jobs = _WRITERS[file.kind](act, shop, found.ready)
        PastRow.objects.bulk_create(
            PastRow(file=file, number=row.number, key=row.key, job=job, condition_score=row.values.get("score"))
            for row, job in zip(found.ready, jobs, strict=True)
        )
        find.rebuild(Job.objects.filter(pk__in=[job.pk for job in jobs]))
        many = f"{len(jobs)} {'machine' if len(jobs) == 1 else 'machines'}"
        after = {"machines": len(jobs), "left_out": len(found.left_out), "first": str(jobs[0].machine)}
        return acts.write(act, "bring_in", f"Brought in {many} from {file.name}", file, area=Area.MONEY, after=after)


def _still_here(file: PastFile, version: int) -> None:
    """Lock a file for the act. :raises Refused: when it came in before or was swept. :raises Stale: when it changed."""
    file.refresh_from_db(from_queryset=PastFile.objects.select_for_update())
    if file.brought_at is not None:
        raise Refused("This file came in before. Nothing was done.")
    if not file.rows:
        raise Refused(f"The rows were swept after {KEPT_DAYS} days. Choose the file again.")
    if file.version != version:
        raise acts.Stale({"Columns": "they were matched anew. Read the check again."}, file.version)


def _refuse(found: check.Report, sure: str) -> None:
    if found.faults:
        first = "Nothing was brought in: a file comes in whole or not at all. Mend these rows and choose it again."
        raise Refused(first, *_first(found.faults))
    if not found.ready:
        raise Refused("There is nothing new in this file: every row is left out.")
    if found.asked and sure != found.about:
        raise Odd("If it is right, press again. Else mend the file and choose it again.", *_first(found.asked),
                  about=found.about)  # fmt: skip


def _first(said: Sequence[check.Said]) -> list[str]:
    more = len(said) - REASONS_SHOWN
    return [*map(str, said[:REASONS_SHOWN]), *([f"And {more} more, listed below."] if more > 0 else [])]


def _stock(act: Act, shop: Shop, rows: Sequence[Ready]) -> list[Job]:
    notes, places = _notes(rows), _places(rows)
    sellers = intake.sellers_named([row.values["seller"] for row in rows])
    old = [
        OldMachine(
            notes=notes[_model(row)],
            serial=row.values["serial"],
            price_minor=row.values["price_paid"],
            acquired_on=row.values["bought_on"],
            opened_at=_noon(act, row.values["bought_on"]),
            seller=sellers.get(row.values["seller"].casefold()),
            place=places.get(row.values["place"].casefold()),
            said=row.values["said"],
        )
        for row in rows
    ]
    return intake.open_jobs(act, shop, old)


def _sales(act: Act, shop: Shop, rows: Sequence[Ready]) -> list[Job]:
    notes = _notes(rows)
    jobs = intake.open_jobs(act, shop, [_sold(act, row, notes[_model(row)]) for row in rows])
    pairs = list(zip(jobs, rows, strict=True))
    sold = [
        PastSale(job, row.values["price_sold"], row.values["parts_cost"] or 0, row.values["sold_on"], _closed(job))
        for job, row in pairs
    ]
    minutes = [(job, worked, _closed(job)) for job, row in pairs if (worked := _minutes(row))]
    work.note_minutes(act, minutes, what=WORK_WORDS)
    pricing.keep_past_sales(act, sold)
    return jobs


def _sold(act: Act, row: Ready, notes: ModelNotes) -> OldMachine:
    bought_on = row.values["bought_on"] or row.values["sold_on"]
    return OldMachine(
        notes=notes,
        serial=row.values["serial"],
        price_minor=row.values["price_paid"],
        acquired_on=bought_on,
        opened_at=_noon(act, bought_on),
        closed_at=_noon(act, row.values["sold_on"]),
        closed_as=ClosedAs.SOLD_UNTESTED if row.values["not_mended"] else ClosedAs.SOLD_PROVED,
    )


_WRITERS = {Past.STOCK.value: _stock, Past.SALES.value: _sales}


def _closed(job: Job) -> datetime:
    return job.closed_at or job.opened_at


def _noon(act: Act, day: date) -> datetime:
    """Return noon of a day in the workshop's zone, but never a moment after the act."""
    return min(timezone.make_aware(datetime.combine(day, time(12))), act.at)


def _model(row: Ready) -> tuple[str, str]:
    return row.values["maker"].casefold(), row.values["model"].casefold()


def _notes(rows: Sequence[Ready]) -> dict[tuple[str, str], ModelNotes]:
    found = {(one.maker.casefold(), one.model.casefold()): one for one in ModelNotes.objects.order_by("-pk")}
    for row in rows:
        if _model(row) not in found:
            maker, model, kind = (row.values[code] for code in ("maker", "model", "kind"))
            found[_model(row)] = services.new_notes(maker=maker, model=model, kind=kind)
    return found


def _places(rows: Sequence[Ready]) -> dict[str, Place]:
    names = {row.values["place"].casefold(): row.values["place"] for row in rows if row.values["place"]}
    return {folded: services.place_named(name) for folded, name in names.items()}


def _minutes(row: Ready) -> int:
    """Return the work of a row in minutes: its minutes, its hours, or both together."""
    return round((row.values["hours"] or 0) * 60) + (row.values["minutes"] or 0)
