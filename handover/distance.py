"""Sales agreed at a distance: until when the buyer may cancel, and the writers of what that rests on."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q
from django.utils import timezone

from handover.models import DistanceNote, HandedOver, Reservation
from handover.words import DistanceFact, GoesBy, SoldHow
from intake.came import first_came_on
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry, Shop
from workshop.core.reads import once_a_page
from workshop.core.templatetags.measures import day
from workshop.core.words import Area, JobKind, small
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
    """Return the sales of machines that have left and may be cancelled today, or were, or whose arrival is not known.

    One whose machine came back since is left out. Four queries for any number of them.
    """
    since = today - timedelta(days=LOOKED_BACK_DAYS)
    rows = Reservation.objects.filter(
        sold_how=SoldHow.DISTANCE, cancelled_at__isnull=True, job__closed_at__date__gte=since
    )
    back = Q(job__returns__kind=JobKind.CAME_BACK)
    found = _read(list(rows.exclude(back).select_related("job__machine", "buyer").order_by("job__closed_at", "pk")))
    return [row for row in found if row.rule.right is Right.GIVEN and _waits(row, today)]


def _waits(row: Distance, today: date) -> bool:
    return row.cancelled_on is not None or row.until is None or row.until >= today


def arrivals(job_ids: Collection[int]) -> dict[int, date]:
    """Return the day noted that it arrived, of each sale at a distance that has one. One query."""
    notes = DistanceNote.objects.filter(reservation__job__in=job_ids, fact=DistanceFact.ARRIVED)
    newest = dict(notes.order_by("pk").values_list("reservation__job_id", "on"))
    return {job_id: on for job_id, on in newest.items() if on is not None}


def _read(reservations: Collection[Reservation]) -> list[Distance]:
    country = Shop.objects.values_list("country", flat=True).filter(pk=1).first() or ""
    notes, left = _notes([row.pk for row in reservations]), _left_on([row.job_id for row in reservations])
    return [_one(row, rule_for(country), notes[row.pk], left.get(row.job_id)) for row in reservations]


@once_a_page
def _notes(reservation_ids: Collection[int]) -> dict[int, dict[str, DistanceNote]]:
    """Return the newest note of each kind of each reservation. One query."""
    found: dict[int, dict[str, DistanceNote]] = {pk: {} for pk in reservation_ids}
    for note in DistanceNote.objects.filter(reservation__in=reservation_ids).order_by("pk"):
        found[note.reservation_id][note.fact] = note
    return found


@once_a_page
def _left_on(job_ids: Collection[int]) -> dict[int, date]:
    """Return the day each of these jobs that was handed over was. One query."""
    handed = HandedOver.objects.filter(job__in=job_ids, withdrawn_at__isnull=True)
    return {row.job_id: timezone.localtime(row.at).date() for row in handed.order_by("pk")}


def _one(row: Reservation, rule: CancelRule, notes: dict[str, DistanceNote], left_on: date | None) -> Distance:
    def on(fact: DistanceFact) -> date | None:
        note = notes.get(fact.value)
        return note.on if note else None

    arrived = on(DistanceFact.ARRIVED) or (None if row.goes_by == GoesBy.CARRIER else left_on)
    said = notes.get(DistanceFact.CANCELLED.value)
    return Distance(
        row, rule, on(DistanceFact.PAPER), arrived, left_on, said.on if said else None, said.words if said else ""
    )


# --- writers ---------------------------------------------------------------------------------------------


def note(act: Act, reservation: Reservation, fact: DistanceFact, on: date, words: str = "") -> JournalEntry:
    """Keep a fact of a sale at a distance and its day.

    From their word on the sale is cancelled in the sums, so that what they paid is owed to them.

    :raises Refused: for a sale in person, a day to come, a paper before the machine came, an arrival before it left, a
        word before it was agreed or too late
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
        row = _keep(act, reservation, fact, on, words)
        return _write(act, f"note_{fact.lower()}", f"{fact.label}: {day(on)}", row)


def _refuse(known: Distance, fact: DistanceFact, on: date) -> None:
    if fact is DistanceFact.PAPER:
        _refuse_paper(known, on)
    if fact is DistanceFact.ARRIVED:
        if known.left_on is None:
            raise Refused("It has not been handed over yet.")
        if on < known.left_on:
            raise Refused(f"It left on {day(known.left_on)}. Type the day it arrived.", field="on")
    if fact is DistanceFact.CANCELLED:
        _refuse_word(known, on)


def _refuse_paper(known: Distance, on: date) -> None:
    """It may be given with the offer, before they agree; nothing could be offered before the machine came."""
    sale = known.reservation.sale
    if on < sale.agreed_on and on < (here_since := first_came_on(sale.job.machine)):
        raise Refused(f"The machine came here on {day(here_since)}. Check the day and year.", field="on")


def _refuse_word(known: Distance, on: date) -> None:
    if known.rule.right is Right.NONE:
        raise Refused(known.rule.rule)
    if known.left_on is None:
        raise Refused("It has not left: cancel the reservation instead.")
    if on < (agreed_on := known.reservation.sale.agreed_on):
        raise Refused(f"It was agreed on {day(agreed_on)}. Type the day they said so.", field="on")
    if known.until is not None and on > known.until:
        late = f"Their time ended on {day(known.until)}. If you take it back all the same, open Came back."
        raise Refused(late, field="on")


def take_back(act: Act, reservation: Reservation, fact: DistanceFact) -> JournalEntry:
    """Take a fact back as a slip; without their word the sale stands again. :raises Refused: when none stands."""
    with acts.once(act):
        return _take_back(act, _standing(reservation, fact))


def undo(act: Act, noted: DistanceNote) -> JournalEntry:
    """Undo one noting of a fact. :raises Refused: when it was taken back or noted anew since."""
    with acts.once(act):
        now = _standing(noted.reservation, DistanceFact(noted.fact))
        if now is not None and now != noted:
            raise Refused("It was noted anew since. Take that back under the reservation.")
        return _take_back(act, now)


def _take_back(act: Act, noted: DistanceNote | None) -> JournalEntry:
    if noted is None:
        raise Refused("This was taken back already.")
    reservation, fact = noted.reservation, DistanceFact(noted.fact)
    if fact is DistanceFact.CANCELLED:
        pricing.restore_gone_sale(reservation.sale)
    _keep(act, reservation, fact, None, "")
    return _write(act, f"take_back_{fact.lower()}", f"Taken back: {small(fact.label)}", noted)


def not_gone_after_all(act: Act, reservation: Reservation | None) -> None:
    """Take the noted arrival back with the handing over it rests on, inside the caller's act and its entry.

    :raises Refused: while the buyer's word that they cancel stands
    """
    if reservation is None:
        return
    if _standing(reservation, DistanceFact.CANCELLED):
        raise Refused("They said that they cancel. If that was a slip, undo it under the reservation first.")
    if _standing(reservation, DistanceFact.ARRIVED):
        _keep(act, reservation, DistanceFact.ARRIVED, None, "")


def _standing(reservation: Reservation, fact: DistanceFact) -> DistanceNote | None:
    rows = DistanceNote.objects.filter(reservation=reservation, fact=fact).select_related("reservation__job__machine")
    newest = rows.order_by("-pk").first()
    return newest if newest is not None and newest.on is not None else None


def _keep(act: Act, reservation: Reservation, fact: DistanceFact, on: date | None, words: str) -> DistanceNote:
    return DistanceNote.objects.create(reservation=reservation, fact=fact, on=on, words=words, by=act.by, at=act.at)


def _write(act: Act, verb: str, sentence: str, row: DistanceNote) -> JournalEntry:
    return acts.write(act, verb, sentence, row, job=row.reservation.job, area=Area.MONEY)
