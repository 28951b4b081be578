"""Contact notes: keeping one, taking it back, and reading those of a machine."""

from dataclasses import dataclass
from datetime import date, timedelta

from handover import messages
from handover.models import BuyerAnswer, BuyerMessage, ContactNote
from handover.words_after import ContactHow, ContactWith
from intake.came import first_came_on
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Machine, Person
from workshop.core.templatetags.measures import day
from workshop.core.words import small
from workshop.pricing.models import TOOK_IT, Sale

# A seller, or a dealer in parts, may be asked before a machine is bought; whoever buys it from us, after. House policy.
ASKED_BEFORE_DAYS = 365
IN_A_NOTE = "In a contact note."  # how a message was answered, when the note holds the words


@dataclass(frozen=True, slots=True)
class NewNote:
    """One call or message, as it was typed."""

    how: ContactHow
    with_whom: ContactWith
    happened_on: date
    asked: str
    answered: str


def keep(act: Act, job: Job, new: NewNote, message: BuyerMessage | None = None) -> JournalEntry:
    """Keep a note at the machine; one that answers a waiting message answers it.

    :raises Refused: for a day to come, or long before the machine came
    """
    with acts.once(act):
        if new.happened_on > act.day:
            raise Refused("This day is still to come. Type the day it happened.", field="happened_on")
        _refuse_before(job, new)
        row = ContactNote.objects.create(
            machine=job.machine,
            job=job,
            person=buyer_of(job) if new.with_whom == ContactWith.BUYER else None,
            message=message,
            how=new.how,
            with_whom=new.with_whom,
            happened_on=new.happened_on,
            asked=new.asked,
            answered=new.answered,
            by=act.by,
            at=act.at,
        )
        if message is not None and new.answered and messages.waits(message):
            BuyerAnswer.objects.create(message=message, words=IN_A_NOTE, by=act.by, at=act.at)
        return acts.write(act, "keep_contact_note", f"Kept a note of {small(str(row))}", row, job=job)


def _refuse_before(job: Job, new: NewNote) -> None:
    here_since = first_came_on(job.machine)
    sooner = ASKED_BEFORE_DAYS if new.with_whom in (ContactWith.SELLER, ContactWith.OTHER) else 0
    if new.happened_on < here_since - timedelta(days=sooner):
        raise Refused(f"The machine came here on {day(here_since)}. Check the day and year.", field="happened_on")


def take_back(act: Act, note: ContactNote) -> JournalEntry:
    """Undo keeping a note; a message it answered waits again. :raises Refused: when it was undone already."""
    with acts.once(act):
        if note.withdrawn_at is not None:
            raise Refused("This was undone already.")
        note.withdrawn_at, note.withdrawn_by = act.at, act.by
        note.save(update_fields=["withdrawn_at", "withdrawn_by"])
        if note.message is not None and _answers(note.message):
            BuyerAnswer.objects.create(message=note.message, words="", by=act.by, at=act.at)
        return acts.write(act, "take_back_contact_note", "Took a contact note back", note, job=note.job)


def _answers(message: BuyerMessage) -> bool:
    newest = message.answers.order_by("-pk").first()
    return newest is not None and newest.words == IN_A_NOTE


def of_machine(machine: Machine) -> list[ContactNote]:
    """Return the notes that stand at a machine, newest first."""
    rows = ContactNote.objects.filter(machine=machine, withdrawn_at__isnull=True).select_related("by")
    return list(rows.order_by("-happened_on", "-pk"))


def buyer_of(job: Job) -> Person | None:
    """Return who bought the machine of a job, or of the sale that it came back from."""
    sale = Sale.objects.filter(TOOK_IT, job_id=job.first_job_id or job.pk).order_by("-pk").first()
    return sale.buyer if sale else None
