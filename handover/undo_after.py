"""What can be taken back after handing over: notes, returns, consents, reminders told; by the verb of the entry."""

from handover import consents, contacts, reminders, returns
from handover.models import CareReminder, Consent, ContactNote
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.undo import Undo, subject_pk


def _noted(act: Act, entry: JournalEntry) -> JournalEntry:
    rows = ContactNote.objects.select_related("job__machine", "message")
    return contacts.take_back(act, rows.get(pk=subject_pk(entry)))


def _came_back(act: Act, entry: JournalEntry) -> JournalEntry:
    back = Job.objects.select_related("machine").filter(pk=subject_pk(entry)).first()
    if back is None:
        raise Refused("This was undone already.")
    return returns.take_back_return(act, back)


def _agreed(act: Act, entry: JournalEntry) -> JournalEntry:
    return consents.withdraw(act, entry.job, Consent.objects.get(pk=subject_pk(entry)))


def _told_care(act: Act, entry: JournalEntry) -> JournalEntry:
    row = CareReminder.objects.select_related("job__machine").filter(pk=subject_pk(entry)).first()
    if row is None:
        raise Refused("This was undone already.")
    return reminders.take_back_told(act, row)


UNDO: dict[str, Undo] = {
    "keep_contact_note": _noted,
    "open_return": _came_back,
    "record_consent": _agreed,
    "say_cause": returns.take_back_cause,
    "tell_care": _told_care,
}
