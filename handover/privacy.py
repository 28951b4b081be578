"""What hand over holds of a buyer: what was agreed, what they wrote and were answered, notes, consents, parcels."""

from typing import Any

from handover.models import (
    BuyerAnswer,
    BuyerMessage,
    Consent,
    ContactNote,
    DistanceNote,
    HandedOver,
    Packed,
    Reservation,
)
from workshop.core import privacy
from workshop.core.acts import Act
from workshop.core.models import Job, Person
from workshop.pricing.models import TOOK_IT, Sale


def _jobs(person: Person) -> Any:
    """Return the jobs whose machine they took: messages and parcels of these are theirs."""
    return Sale.objects.filter(TOOK_IT, buyer=person).values("job")


def _found(person: Person) -> dict[str, Any]:
    jobs = _jobs(person)
    return {
        "reservations": Reservation.objects.filter(buyer=person),
        "messages": BuyerMessage.objects.filter(link__job__in=jobs),
        "answers": BuyerAnswer.objects.filter(message__link__job__in=jobs),
        "contact notes": ContactNote.objects.filter(person=person),
        "consents": Consent.objects.filter(person=person),
        "sale at a distance": DistanceNote.objects.filter(reservation__buyer=person),
        "handed over": HandedOver.objects.filter(job__in=jobs),
        "parcels": Packed.objects.filter(job__in=jobs),
    }


def _held(person: Person) -> dict[str, list[dict[str, Any]]]:
    return {name: privacy.rows(found) for name, found in _found(person).items()}


def _forget(act: Act, person: Person) -> list[str]:
    found = _found(person)
    said: list[str] = []
    for row in found["reservations"]:
        said += privacy.words_before(row, "agreed")
    said += privacy.empty(found["reservations"], agreed="")
    said += privacy.empty(found["messages"], words="", since=privacy.ERASED)
    said += privacy.empty(found["answers"].exclude(words=""), words=privacy.ERASED)
    said += privacy.empty(found["contact notes"], asked="", answered="")
    said += privacy.empty(found["sale at a distance"], words="")
    said += privacy.empty(found["handed over"], owed_words="")
    said += privacy.empty(found["parcels"], tracking="")
    standing = found["consents"].filter(withdrawn_at__isnull=True)
    standing.update(withdrawn_at=act.at, withdrawn_by=act.by)
    return said


def _blocks(person: Person) -> list[str]:
    """A machine of theirs that is here, or a message that waits, needs somebody to call."""
    jobs = _jobs(person)
    here = Job.objects.open().filter(first_job__in=jobs).select_related("machine").order_by("pk")
    said = [f"{job.machine} came back and is still here. End that job first." for job in here]
    if BuyerMessage.objects.unanswered().filter(link__job__in=jobs).exists():
        said.append("A message of theirs waits for an answer. Answer it first.")
    return said


ROOM = privacy.Room(
    blocks=_blocks,
    covers=frozenset({"handover.Reservation.buyer", "handover.ContactNote.person", "handover.Consent.person"}),
    held=_held,
    forget=_forget,
)
