"""Coming back: opening the return beside the old record, undoing that, and naming the cause."""

from dataclasses import dataclass

from django.db.models import ProtectedError

from handover import contacts, found
from handover.models import ContactNote
from handover.words_after import ContactHow, ContactWith
from workshop.core import acts, search, services
from workshop.core.acts import Act, Refused, Stale
from workshop.core.models import Job, JournalEntry, Machine, SearchEntry, SearchText
from workshop.core.words import ClosedAs, JobKind, ReturnCause, small

SOLD = (ClosedAs.SOLD_PROVED.value, ClosedAs.SOLD_UNTESTED.value)


@dataclass(frozen=True, slots=True)
class NewReturn:
    """What the buyer said: the complaint in their words, and each further question asked with its answer."""

    complaint: str
    asked: tuple[tuple[str, str], ...] = ()
    place: str = ""
    sure: str = ""

    @property
    def words(self) -> str:
        """The questions that were answered, one a line."""
        return "\n".join(f"{question} {answer}" for question, answer in self.asked if answer)


def sold_job(job: Job) -> Job | None:
    """Return the sale that a machine comes back from: of its latest job; None where it was not sold."""
    sale = job.first_job or job
    return sale if sale.closed_as in SOLD else None


def cannot_come_back(job: Job) -> str:
    """Return why no return can be opened, or nothing."""
    if Job.objects.open().filter(machine=job.machine_id).exists():
        return "It is in the workshop already."
    if sold_job(job) is None:
        return "It was not sold from here: there is nothing it could come back from."
    return ""


def open_return(act: Act, job: Job, new: NewReturn) -> JournalEntry:
    """Open the return of a sold machine; what was asked on the phone is kept as a contact note.

    The entry names the machine and not the new job, so that a return opened by mistake can go without a trace.

    :raises Refused: when it was not sold, or is here already. :raises Odd: for a place taken by another machine
    """
    with acts.once(act):
        Machine.objects.select_for_update().only("pk").get(pk=job.machine_id)
        if why := cannot_come_back(job):
            raise Refused(why)
        back = Job.objects.create(
            machine=job.machine,
            kind=JobKind.CAME_BACK,
            first_job=sold_job(job),
            complaint=new.complaint,
            opened_at=act.at,
        )
        if new.place:
            place = services.place_for(job.machine, new.place, sure=new.sure)
            acts.change(job.machine, job.machine.version, {"place": place})
        if new.words:
            _note(act, job, new)
        search.refresh(back, search.READERS)
        found.refresh(back)
        return acts.write(act, "open_return", f"{job.machine} came back", back, machine=job.machine)


def _note(act: Act, job: Job, new: NewReturn) -> None:
    ContactNote.objects.create(
        machine=job.machine,
        job=job,
        person=contacts.buyer_of(job),
        how=ContactHow.CALL,
        with_whom=ContactWith.BUYER,
        happened_on=act.day,
        asked=f"{new.complaint}\n{new.words}",
        answered="It comes in.",
        by=act.by,
        at=act.at,
    )


def take_back_return(act: Act, back: Job) -> JournalEntry:
    """Undo opening a return while nothing was done on it. :raises Refused: once something was."""
    with acts.once(act):
        machine = back.machine
        SearchEntry.objects.filter(job=back).delete()
        SearchText.objects.filter(job=back).delete()
        number = back.pk
        try:
            back.delete()
        except ProtectedError as done:
            raise Refused("Something was done on it since: it cannot go without a trace. End it instead.") from done
        back.pk = number  # the entry speaks of the job that is gone
        return acts.write(act, "take_back_return", f"{machine} did not come back after all", back, machine=machine)


def say_cause(act: Act, job: Job, *, cause: str, words: str, seen: str) -> JournalEntry:
    """Name why a machine came back. :raises Refused: when it did not. :raises Stale: when it was named meanwhile."""
    with acts.once(act):
        if job.kind != JobKind.CAME_BACK:
            raise Refused("This machine did not come back.")
        fresh = Job.objects.select_for_update().get(pk=job.pk)
        if fresh.cause != seen:
            raise Stale({}, columns={"cause": fresh.cause, "cause_words": fresh.cause_words})
        before = {"cause": fresh.cause, "cause_words": fresh.cause_words}
        after = {"cause": cause, "cause_words": words}
        Job.objects.filter(pk=job.pk).update(**after)
        said = small(ReturnCause(cause).label) if cause else "not known"
        return acts.write(act, "say_cause", f"Why it came back: {said}", job, job=job, before=before, after=after)


def take_back_cause(act: Act, entry: JournalEntry) -> JournalEntry:
    """Undo naming the cause: what stood before stands again. :raises Refused: when it was named anew since."""
    with acts.once(act):
        job = entry.job
        if job is None:
            raise Refused("This entry names no machine.")
        fresh = Job.objects.select_for_update().get(pk=job.pk)
        if {"cause": fresh.cause, "cause_words": fresh.cause_words} != entry.after:
            raise Refused("The cause was named anew since.")
        Job.objects.filter(pk=job.pk).update(**entry.before)
        return acts.write(act, "take_back_cause", "The cause it came back for is as before", job, job=job)
