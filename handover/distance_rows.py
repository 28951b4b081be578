"""Rows of a sale at a distance: on the Hand over page, in the strip, on This morning."""

from dataclasses import dataclass
from datetime import date

from django.urls import reverse

from handover import distance
from handover.distance import Distance
from handover.models import Reservation
from handover.words import DistanceFact, SoldHow
from workshop.core.models import Job
from workshop.core.templatetags.measures import day, short_day
from workshop.trade.rights.cancelling import Right


@dataclass(frozen=True, slots=True)
class FactRow:
    """One fact that is noted: its words, and the press that takes it back."""

    code: str
    words: str
    on: str


@dataclass(frozen=True, slots=True)
class Section:
    """The part of the reservation that speaks of a sale at a distance."""

    called: str
    rule: str
    state: str
    runs: bool
    facts: list[FactRow]
    asks_paper: bool
    asks_arrival: bool
    asks_word: bool


def section(reservation: Reservation | None, today: date) -> Section | None:
    """Return the section; None where it was agreed in person."""
    known = distance.of(reservation)
    if known is None:
        return None
    facts = [
        FactRow(fact.value, fact.label, day(on))
        for fact, on in (
            (DistanceFact.PAPER, known.told_on),
            (DistanceFact.ARRIVED, known.arrived_on if known.arrived_on != known.left_on else None),
            (DistanceFact.CANCELLED, known.cancelled_on),
        )
        if on
    ]
    given = known.rule.right is Right.GIVEN
    return Section(
        called=known.rule.called,
        rule=known.rule.rule,
        state=state(known, today, here=_here(known)),
        runs=given and known.cancelled_on is None and (known.until is None or known.until >= today),
        facts=facts,
        asks_paper=known.told_on is None,
        asks_arrival=known.left_on is not None and known.arrived_on is None,
        asks_word=known.left_on is not None and known.cancelled_on is None and known.rule.right is not Right.NONE,
    )


def _here(known: Distance) -> bool:
    return bool(known.cancelled_on) and known.reservation.job.returns.exists()


def state(known: Distance, today: date, *, here: bool = False) -> str:
    """Say until when they may cancel, or why no day can be said; empty where the place gives no right.

    `here`: it is on the Came back page or came back already, so nobody is sent there.
    """
    if known.rule.right is not Right.GIVEN:
        return ""
    if known.cancelled_on:
        said = f"They cancelled on {day(known.cancelled_on)}."
        return said if here else f"{said} Open Came back when it is here."
    untold = "" if known.told_on else " They do not have the paper: until they do, the time runs on."
    if known.until is None:
        return f"The days count from its arrival: say when it arrived.{untold}" if known.left_on else untold.strip()
    if known.until < today:
        return f"They could cancel until {day(known.until)}."
    return f"They may cancel until {day(known.until)}.{untold}"


def strip_line(reservation: Reservation) -> str:
    """Return the strip's words: the last day, or that it waits for the arrival; empty where nothing runs."""
    if reservation.sold_how != SoldHow.DISTANCE:
        return ""
    known = distance.of(reservation)
    if known is None or known.rule.right is not Right.GIVEN or known.left_on is None:
        return ""
    if known.cancelled_on:
        return f"cancelled {short_day(known.cancelled_on)}"
    return f"until {day(known.until)}" if known.until else "from its arrival"


@dataclass(frozen=True, slots=True)
class MorningRow:
    """One line of This morning."""

    job: Job
    words: str
    when: str
    url: str
    heavy: bool


def morning(today: date) -> list[MorningRow]:
    """Return the sales that may still be cancelled, the nearest end first; what wants an act before them."""
    found = [_morning(known, today) for known in distance.running(today)]
    return [row for _, row in sorted(found, key=lambda pair: pair[0])]


def _morning(known: Distance, today: date) -> tuple[tuple[bool, date, int], MorningRow]:
    job = known.reservation.job
    acts = known.cancelled_on is not None or known.until is None or known.told_on is None
    when = short_day(known.until) if known.until else ""
    url = reverse("handover:handover", args=[job.machine.slug]) + "#distance"
    row = MorningRow(job, state(known, today), when, url, heavy=acts)
    return (not acts, known.until or date.max, job.pk), row
