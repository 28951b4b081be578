"""Consent to care reminders: recording it, withdrawing it, and who agreed."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from handover.models import Consent
from handover.words_after import ConsentHow
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Person
from workshop.core.words import Area


@dataclass(frozen=True, slots=True)
class NewConsent:
    """What was agreed: the address, the day, how."""

    email: str
    given_on: date
    how: ConsentHow


def of_people(person_ids: Collection[int]) -> dict[int, Consent]:
    """Return the standing consent of each of these people. One query."""
    rows = Consent.objects.filter(person_id__in=person_ids, withdrawn_at__isnull=True).select_related("by")
    return {row.person_id: row for row in rows}


def stands(person: Person) -> bool:
    """Say whether a reminder may go to this person: agreed, not withdrawn, and an address is known."""
    return bool(person.email) and Consent.objects.filter(person=person, withdrawn_at__isnull=True).exists()


def record(act: Act, job: Job, person: Person, new: NewConsent) -> JournalEntry:
    """Record that a buyer agreed, and their address. The journal names which fields, never the address.

    :raises Refused: for a day to come, or when a consent stands
    """
    with acts.once(act):
        if new.given_on > act.day:
            raise Refused("This day is still to come. Type the day they agreed.", field="given_on")
        if Consent.objects.filter(person=person, withdrawn_at__isnull=True).exists():
            raise Refused("They have agreed already. Withdraw that first.")
        if person.email != new.email:
            acts.change(person, person.version, {"email": new.email})
        row = Consent.objects.create(person=person, given_on=new.given_on, how=new.how, by=act.by, at=act.at)
        fields = {"fields": ["email", "consent"]}
        words = "Recorded the buyer's consent to care reminders"
        return acts.write(act, "record_consent", words, row, job=job, area=Area.PERSON, after=fields)


def withdraw(act: Act, job: Job | None, row: Consent) -> JournalEntry:
    """Withdraw a consent: nothing is sent from now on. :raises Refused: when it was withdrawn already."""
    with acts.once(act):
        if row.withdrawn_at is not None:
            raise Refused("This consent was withdrawn already.")
        row.withdrawn_at, row.withdrawn_by = act.at, act.by
        row.save(update_fields=["withdrawn_at", "withdrawn_by"])
        words = "Withdrew the buyer's consent to care reminders"
        return acts.write(act, "withdraw_consent", words, row, job=job, area=Area.PERSON)
