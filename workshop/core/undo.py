"""What the core can take back, by the verb of the journal entry."""

from collections.abc import Callable

from workshop.core import services
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry, ModelNotes, OutsideReport, Place, Signoff, Wait

Undo = Callable[[Act, JournalEntry], JournalEntry]


def subject_pk(entry: JournalEntry) -> int:
    """Return the id of the row an entry speaks of."""
    return int(entry.subject.rsplit(":", 1)[1])


def _report(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.strike_report(act, OutsideReport.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _sign_off(act: Act, entry: JournalEntry) -> JournalEntry:
    row = Signoff.objects.select_related("job__machine").get(pk=subject_pk(entry))
    if row.withdrawn_at is not None:
        raise Refused("This sign-off was withdrawn already.")
    return services.withdraw_sign_off(act, row.job, row.station)


def _wait(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.end_wait(act, Wait.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _learnt(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.unlearn_notes(act, ModelNotes.objects.get(pk=subject_pk(entry)), entry)


def _place(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.use_place_again(act, Place.objects.get(pk=subject_pk(entry)))


UNDO: dict[str, Undo] = {
    "record_report": _report,
    "sign_off": _sign_off,
    "begin_wait": _wait,
    "learn_notes": _learnt,
    "retire_place": _place,
}
