"""What this app can take back, by the verb of the journal entry."""

from django.db.models import ProtectedError

from intake import found, services
from intake.models import (
    AsFound,
    Bag,
    EarlierRecord,
    FaceLook,
    Finding,
    LoosePart,
    Mark,
    Nothing,
    Photo,
    Purchase,
    SeenRunning,
    Walk,
)
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Person
from workshop.core.undo import Undo, subject_pk
from workshop.core.words import FoundIn


def _mark(entry: JournalEntry) -> Mark:
    return Mark.objects.select_related("walk__job__machine").get(pk=subject_pk(entry))


def _finding(entry: JournalEntry) -> Finding:
    return Finding.objects.select_related("job__machine").get(pk=subject_pk(entry))


def _looks(act: Act, entry: JournalEntry) -> JournalEntry:
    ids = entry.after.get("ids") or [subject_pk(entry)]
    with acts.once(act):
        looks = FaceLook.objects.filter(pk__in=ids)
        if not looks.exists():
            raise Refused("This was undone already.")
        if looks.filter(walk__finished_at__isnull=False).exists():
            raise Refused("The blind look is finished: it stays as it is.")
        looks.delete()
        return acts.write(act, "unlook", f"Undone: {entry.sentence.lower()}", _job(entry), job=entry.job)


def _second_look(act: Act, entry: JournalEntry) -> JournalEntry:
    walk = Walk.objects.filter(pk=subject_pk(entry)).first()
    with acts.once(act):
        if walk is None:
            raise Refused("This was undone already.")
        if walk.finished_at is not None:
            raise Refused("The blind look is finished: it stays as it is.")
        if walk.marks.exists():
            raise Refused("The second look has marks. Take those back one by one.")
        walk.looks.all().delete()
        walk.delete()
        return acts.write(act, "unlook", f"Undone: {entry.sentence.lower()}", _job(entry), job=entry.job)


def _job(entry: JournalEntry) -> Job:
    if entry.job is None:
        raise Refused("This entry belongs to no job.")
    return entry.job


def _photos(act: Act, entry: JournalEntry) -> JournalEntry:
    ids = entry.after.get("ids", [])
    if len(ids) != 1:
        raise Refused("Several photos were added at once. Take them back one by one on Intake.")
    return services.take_photo_back(act, Photo.objects.select_related("job__machine").get(pk=ids[0]))


def _drop(kind: type[Finding | LoosePart | Nothing]) -> Undo:
    """Return the undoing of a row that nothing rests on: it is deleted, the journal keeps what it said."""

    def undo(act: Act, entry: JournalEntry) -> JournalEntry:
        with acts.once(act):
            row = kind._default_manager.filter(pk=subject_pk(entry)).first()
            if row is None:
                raise Refused("This was undone already.")
            try:
                row.delete()
            except ProtectedError:
                raise Refused("Other records rest on this. It cannot be undone.") from None
            if kind is Finding:
                found.refresh(_job(entry), FoundIn.FINDING)
            return acts.write(act, "drop", f"Undone: {entry.sentence}", _job(entry), job=entry.job)

    return undo


def _seller(act: Act, entry: JournalEntry) -> JournalEntry:
    purchase = Purchase.objects.select_related("job__machine").get(pk=subject_pk(entry))
    if purchase.seller_id != entry.after.get("seller"):
        raise Refused("The seller was changed since. Change it on Intake.")
    before = Person.objects.filter(pk=entry.before.get("seller")).first()
    if before is None:
        raise Refused("Nobody was named as the seller before. Change it on Intake.")
    return services.use_seller(act, purchase, purchase.version, before, mates=entry.after.get("mates", []))


def _as_found(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.strike_as_found(act, AsFound.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _seen_running(act: Act, entry: JournalEntry) -> JournalEntry:
    row = SeenRunning.objects.select_related("job__machine").get(pk=subject_pk(entry))
    return services.strike_seen_running(act, row)


def _bag(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.bag_again(act, Bag.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _record(act: Act, entry: JournalEntry) -> JournalEntry:
    row = EarlierRecord.objects.select_related("machine").get(pk=subject_pk(entry))
    return services.take_record_back(act, row, entry.job)


UNDO: dict[str, Undo] = {
    "add_mark": lambda act, entry: services.take_mark_back(act, _mark(entry)),
    "take_mark_back": lambda act, entry: services.put_mark_back(act, _mark(entry)),
    "mend_mark": lambda act, entry: services.unmend_mark(act, _mark(entry)),
    "look_at_face": _looks,
    "look_at_all_faces": _looks,
    "begin_second_look": _second_look,
    "look_again": _second_look,
    "begin_blind_look": _second_look,
    "add_photos": _photos,
    "add_finding": _drop(Finding),
    "end_finding": lambda act, entry: services.reopen_finding(act, _finding(entry)),
    "answer_as_found": _as_found,
    "note_seen_running": _seen_running,
    "clear_bag": _bag,
    "add_loose_part": _drop(LoosePart),
    "answer_nothing": _drop(Nothing),
    "use_seller": _seller,
    "read_record": _record,
}
