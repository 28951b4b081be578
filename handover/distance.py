"""Sales agreed at a distance: until when the buyer may cancel, and the writers of what that rests on."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q
from django.utils import timezone

from handover.models import DistanceNote, HandedOver, Reservation
from handover.words import DistanceFact, GoesBy, SoldHow
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry, Shop
from workshop.core.templatetags.measures import day
from workshop.core.words import Area, JobKind
from workshop.pricing import services as pricing
from workshop.trade.rights.cancelling import CancelRule, Right, cancel_by, rule_for

# The longest a right to cancel runs, untold: 12 months and 14 days after it arrived, plus the way. House policy.
LOOKED_BACK_DAYS = 430


@dataclass(frozen=True, slots=True)
class Distance:
    """One sale at a distance: the place's rule, and what is known of paper, arrival and the buyer's word."""

    reservation: Reservation
    rule: CancelRule
    told_on: date | None
    arrived_on: date | None
    left_on: date | None
    cancelled_on: date | None
    cancelled_words: str = ""

    @property
    def until(self) -> date | None:
        """The last day they may cancel on; None before it arrived, or where no rule gives one."""
        return cancel_by(self.rule, self.arrived_on, self.told_on) if self.arrived_on else None

    @property
    def wants_paper(self) -> bool:
        """Whether the place's law wants the buyer told of the right, and nobody has noted it."""
        return self.rule.right is Right.GIVEN and self.told_on is None


def of(reservation: Reservation | None) -> Distance | None:
    """Return the distance sale of a reservation; None where it was agreed in person, or there is none."""
    if reservation is None or reservation.sold_how != SoldHow.DISTANCE:
        return None
    return _read([reservation])[0]


def running(today: date) -> list[Distance]:
    """Return the sales of machines that have left and may be cancelled today, or whose arrival is not known.

    One whose machine came back since is left out. Three queries for any number of them.
    """
    since = today - timedelta(days=LOOKED_BACK_DAYS)
    rows = Reservation.objects.filter(
        sold_how=SoldHow.DISTANCE, cancelled_at__isnull=True, job__closed_at__date__gte=since
    )
    back = Q(job__returns__kind=JobKind.CAME_BACK)
    found = _read(list(rows.exclude(back).select_related("job__machine", "buyer").order_by("job__closed_at", "pk")))
    return [row for row in found if row.rule.right is Right.GIVEN and (row.until is None or row.until >= today)]


def arrivals(job_ids: Collection[int]) -> dict[int, date]:
    """Return the day noted that it arrived, of each sale at a distance that has one. One query."""
    notes = DistanceNote.objects.filter(reservation__job__in=job_ids, fact=DistanceFact.ARRIVED)
    newest = dict(notes.order_by("pk").values_list("reservation__job_id", "on"))
    return {job_id: on for job_id, on in newest.items() if on is not None}


def _read(reservations: Collection[Reservation]) -> list[Distance]:
    country = Shop.objects.values_list("country", flat=True).filter(pk=1).first() or ""
    notes: dict[tuple[int, str], DistanceNote] = {}
    for note in DistanceNote.objects.filter(reservation__in=reservations).order_by("pk"):
        notes[note.reservation_id, note.fact] = note
    handed = HandedOver.objects.filter(job__in=[row.job_id for row in reservations], withdrawn_at__isnull=True)
    left = {row.job_id: timezone.localtime(row.at).date() for row in handed.order_by("pk")}
    return [_one(row, rule_for(country), notes, left.get(row.job_id)) for row in reservations]


def _one(
    row: Reservation, rule: CancelRule, notes: dict[tuple[int, str], DistanceNote], left_on: date | None
) -> Distance:
    def on(fact: DistanceFact) -> date | None:
        note = notes.get((row.pk, fact.value))
        return note.on if note else None

    arrived = on(DistanceFact.ARRIVED) or (None if row.goes_by == GoesBy.CARRIER else left_on)
    said = notes.get((row.pk, DistanceFact.CANCELLED.value))
    return Distance(
        row, rule, on(DistanceFact.PAPER), arrived, left_on, said.on if said else None, said.words if said else ""
    )


# --- writers ---------------------------------------------------------------------------------------------


def note(act: Act, reservation: Reservation, fact: DistanceFact, on: date, words: str = "") -> JournalEntry:
    """Keep a fact of a sale at a distance and its day.

    From their word on the sale is cancelled in the sums, so that what they paid is owed to them.

    :raises Refused: for a sale in person, a day to come, an arrival or a word before it left, or a word too late
    """
    with acts.once(act):
        known = of(reservation)
        if known is None:
            raise Refused("It was agreed in person. Say under the reservation that it was at a distance first.")
        if on > act.day:
            raise Refused("This day is still to come. Type the day it happened.", field="on")
        _refuse(known, fact, on)
        if fact is DistanceFact.CANCELLED:
            pricing.cancel_gone_sale(act, reservation.sale)
        return _write(act, reservation, fact, on, words)


def _refuse(known: Distance, fact: DistanceFact, on: date) -> None:
    if fact is DistanceFact.ARRIVED:
        if known.left_on is None:
            raise Refused("It has not been handed over yet.")
        if on < known.left_on:
            raise Refused(f"It left on {day(known.left_on)}. Type the day it arrived.", field="on")
    if fact is DistanceFact.CANCELLED:
        if known.rule.right is Right.NONE:
            raise Refused(known.rule.rule)
        if known.left_on is None:
            raise Refused("It has not left: cancel the reservation instead.")
        if known.until is not None and on > known.until:
            late = f"Their time ended on {day(known.until)}. If you take it back all the same, open Came back."
            raise Refused(late, field="on")


def take_back(act: Act, reservation: Reservation, fact: DistanceFact) -> JournalEntry:
    """Take a fact back as a slip; without their word the sale stands again. :raises Refused: when none stands."""
    with acts.once(act):
        if not _stands(reservation, fact):
            raise Refused("This was taken back already.")
        if fact is DistanceFact.CANCELLED:
            pricing.restore_gone_sale(reservation.sale)
        return _write(act, reservation, fact, None, "")


def not_gone_after_all(act: Act, reservation: Reservation | None) -> None:
    """Take the noted arrival back with the handing over it rests on, inside the caller's act and its entry.

    :raises Refused: while the buyer's word that they cancel stands
    """
    if reservation is None:
        return
    if _stands(reservation, DistanceFact.CANCELLED):
        raise Refused("They said that they cancel. If that was a slip, undo it under the reservation first.")
    if _stands(reservation, DistanceFact.ARRIVED):
        _keep(act, reservation, DistanceFact.ARRIVED, None, "")


def _stands(reservation: Reservation, fact: DistanceFact) -> bool:
    newest = DistanceNote.objects.filter(reservation=reservation, fact=fact).order_by("-pk").first()
    return newest is not None and newest.on is not None


def _keep(act: Act, reservation: Reservation, fact: DistanceFact, on: date | None, words: str) -> DistanceNote:
    return DistanceNote.objects.create(reservation=reservation, fact=fact, on=on, words=words, by=act.by, at=act.at)


def _write(act: Act, reservation: Reservation, fact: DistanceFact, on: date | None, words: str) -> JournalEntry:
    row = _keep(act, reservation, fact, on, words)
    verb = f"note_{fact.lower()}" if on else f"take_back_{fact.lower()}"
    sentence = f"{fact.label}: {day(on)}" if on else f"Taken back: {fact.label.lower()}"
    return acts.write(act, verb, sentence, row, job=reservation.job, area=Area.MONEY)
