"""Hand over: what it rests on, what still blocks the sheet, and what blocks the act itself."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from handover import distance, goods, messages, packing
from handover.models import NewSince, Received, Reservation, Sheet, Told
from handover.words import GoesBy
from intake import facts as intake_facts
from intake import stations as intake_stations
from intake.models import Finding
from intake.words import FindingEnd
from workshop.bench import stations as bench_stations
from workshop.bench import stops as bench_stops
from workshop.core import stations
from workshop.core.models import Job, Shop
from workshop.core.reads import once_a_page
from workshop.core.stations import Facts, Standing, Station, Unmet
from workshop.core.words import JobKind
from workshop.pricing import balances
from workshop.pricing import pages as pricing_pages
from workshop.pricing import stations as pricing_stations

PAGE = "handover:handover"
UNANSWERED = "The buyer wrote of a danger. Answer them, and say how, before the machine leaves."


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverFacts(Facts):
    """What was told, received, reserved and issued."""

    told: Told | None = None
    told_complete: bool = False
    new_since: NewSince | None = None
    received: Received | None = None
    sheet: Sheet | None = None
    reservation: Reservation | None = None
    offered: tuple[str, ...] = ()  # what there is to go with it
    added: tuple[str, ...] = ()  # what came since it was counted
    in_danger: bool = False  # the buyer wrote of a danger and nobody has answered


@once_a_page
def facts(job_ids: Collection[int]) -> dict[int, HandoverFacts]:
    """Return the facts of each job: a constant number of queries."""
    told = _newest(Told, job_ids)
    new_since, received, sheets = _newest(NewSince, job_ids), _newest(Received, job_ids), _newest(Sheet, job_ids)
    reserved = {
        row.job_id: row
        for row in Reservation.objects.filter(job_id__in=job_ids, cancelled_at__isnull=True).select_related(
            "buyer", "sale"
        )
    }
    marks = intake_facts.standing_marks(job_ids)  # all of them must have been told, and all that was left
    left, endangered = left_lines(job_ids), messages.in_danger(job_ids)
    found = {pk: _one(pk, told, new_since, received, sheets, reserved, marks[pk], left[pk]) for pk in job_ids}
    there = {pk: tuple(lines) for pk, lines in goods.offered(job_ids).items()}
    return {
        pk: replace(
            row,
            in_danger=pk in endangered,
            offered=there[pk],
            added=tuple(goods.added_since(row.received, there[pk])),
        )
        for pk, row in found.items()
    }


@once_a_page
def left_lines(job_ids: Collection[int]) -> dict[int, list[str]]:
    """Return the findings of each job that were left as they are, as the buyer is told of them."""
    lines: dict[int, list[str]] = {pk: [] for pk in job_ids}
    for row in Finding.objects.filter(job_id__in=job_ids, end=FindingEnd.LEFT).order_by("pk"):
        lines[row.job_id].append(f"{row.words}: {row.end_words}" if row.end_words else row.words)
    return lines


def _newest(model: Any, job_ids: Collection[int]) -> dict[int, Any]:
    return {row.job_id: row for row in model.objects.filter(job_id__in=job_ids).order_by("pk")}


def _one(
    pk: int, told: Any, new_since: Any, received: Any, sheets: Any, reserved: Any, marks: set[int], left: list[str]
) -> HandoverFacts:
    row, sheet = told.get(pk), sheets.get(pk)
    known = {mark["id"] for mark in row.marks} if row else set()
    answer = new_since.get(pk)
    fresh = answer if answer and row and answer.at >= row.at else None
    return HandoverFacts(
        begun=bool(row or sheet or reserved.get(pk)),
        asserted={
            "told": row.pk if row else None,
            "sheet": [sheet.pk, sheet.sha256] if sheet else None,
            "received": received[pk].pk if pk in received else None,
        },
        told=row,
        told_complete=row is not None and marks <= known and set(left) <= set(row.left),
        new_since=fresh,
        received=received.get(pk),
        sheet=sheet,
        reservation=reserved.get(pk),
    )


def unmet(facts: HandoverFacts) -> list[Unmet]:
    """Return what is missing before Hand over is finished, the earlier stations apart."""
    missing = [Unmet("danger", UNANSWERED, PAGE, "buyer-wrote")] if facts.in_danger else []
    if facts.told is None:
        missing.append(Unmet("told", "Tell the buyer every mark and what was left, before they agree.", PAGE, "told"))
    elif not facts.told_complete:
        words = "Something was added since the buyer was told: tell them again."
        missing.append(Unmet("told_more", words, PAGE, "told"))
    if facts.received is None:
        missing.append(Unmet("received", "Count what goes with the machine.", PAGE, "received"))
    elif facts.added:
        words = f"There is more since it was counted: {', '.join(facts.added)}. Count again."
        missing.append(Unmet("received_more", words, PAGE, "received"))
    if facts.sheet is None:
        missing.append(Unmet("sheet", "Issue the handover sheet.", PAGE, "sheet"))
    if facts.told is not None and facts.new_since is None:
        missing.append(Unmet("new_since", "Anything new since the buyer was told? Answer on the day.", PAGE, "new"))
    return missing


def ended(job: Job) -> str:
    """Return the sentence that refuses to change what was said once the machine has gone, or nothing."""
    if job.closed_at is None:
        return ""
    return "This job has ended: what was told, counted and issued stays as it was."


def not_told(job: Job) -> str:
    """Return the sentence that refuses a reservation before the buyer was told, or nothing."""
    known = facts([job.pk])[job.pk]
    if known.told is None:
        return "Show the buyer every mark and what was left first, and record it below."
    return "" if known.told_complete else "Something was added since the buyer was told. Tell them again first."


def not_told_for_money(job: Job) -> str:
    """Return the sentence that refuses a deposit on a reservation before the buyer was told, or nothing."""
    known = facts([job.pk])[job.pk]
    if known.reservation is None or known.told_complete:
        return ""
    what = "what was added since they were told" if known.told else "every mark and what was left"
    return f"Take no money yet. On Hand over, tell the buyer {what}, and say so."


def serial_asked(job: Job) -> str:
    """Return the sentence that asks for the serial, or nothing: a paper says of it only what somebody said."""
    machine = job.machine
    if machine.serial or machine.serial_unreadable:
        return ""
    return "Type the serial number, or say that it cannot be read, on Intake: the paper prints it."


def unissuable(job: Job) -> list[str]:
    """Return why no sheet can be issued yet: it needs a proved machine, a serial, a look and what goes with it."""
    if words := ended(job):
        return [words]
    proved = stations.one(bench_stations.PROVE, job.pk).closed
    reasons = [] if proved else ["Prove is not finished: the sheet prints only proved values."]
    if words := serial_asked(job):
        reasons.append(words)
    if not intake_facts.is_looked_at(job):
        reasons.append("Walk round it first: the sheet prints its condition.")
    if not Received.objects.filter(job=job).exists():
        reasons.append("Count what goes with the machine: the sheet lists it.")
    return reasons


def recall_due(job: Job, today: date) -> str:
    """Return the sentence that asks for the recall registers again, or nothing. Intake asks for the first look."""
    looked_on = intake_facts.recall_looked_on([job.pk])[job.pk]
    shop = Shop.objects.filter(pk=1).first()
    if looked_on is None or shop is None or (today - looked_on).days <= shop.recall_again_days:
        return ""
    days = (today - looked_on).days
    return f"The last look into the recall registers is {days} days old: look again, on Intake."


def blocks(job: Job, now: Standing, today: date, *, owed_words: str, outdated: str = "") -> list[str]:
    """Return what blocks handing over now, in sentences; `now` is this station's standing.

    `outdated` asks for the next sheet where the issued one does not hold any more.
    """
    known: HandoverFacts = now.facts  # type: ignore[assignment]  # this station's facts are of this kind
    if job.kind == JobKind.CAME_BACK:
        return [balances.yours_again(job) or "It came back: it goes home as given back, with its next sheet."]
    reasons = [stop.words for stop in bench_stops.stops([job.pk], today)[job.pk]]
    reasons += [row.sentence for row in now.unmet]
    reasons += [words for words in (outdated, recall_due(job, today)) if words]
    if (sold := distance.of(known.reservation)) and sold.wants_paper:
        reasons.append("They agreed at a distance: give them the cancellation paper, and say so.")
    if known.reservation is None:
        return [*reasons, "Nobody is named as the buyer: make the reservation first."]
    if known.reservation.goes_by == GoesBy.CARRIER:
        reasons += packing.missing(job)
    balance = pricing_pages.balance([job.pk]).get(job.pk)
    if balance is not None and balance.to_come_minor > 0 and not owed_words:
        reasons.append("The balance is not nil: take the payment, or say in words who pays what when.")
    return reasons


EARLIER: tuple[Station[Any], ...] = (
    intake_stations.STATION,
    bench_stations.CLEAN,
    bench_stations.MEND,
    bench_stations.PROVE,
    pricing_stations.STATION,
)
STATION = Station("HANDOVER", "Hand over", PAGE, facts, unmet, EARLIER)
