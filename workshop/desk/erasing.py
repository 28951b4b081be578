"""Writers of what people may ask for: everything we hold of them, and to be forgotten."""

import json
from datetime import date, datetime
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder

from workshop.core import acts, privacy
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, LockedIdentity, Person, SearchEntry
from workshop.core.search import fold
from workshop.core.words import Area
from workshop.desk import find, people


def export(act: Act, person: Person) -> JournalEntry:
    """Record that a person was given what we hold of them."""
    with acts.once(act):
        return acts.write(act, "export_person", "Gave a person all we hold of them", person, area=Area.PERSON)


def file_of(person: Person, at: datetime) -> bytes:
    """Return the file a person is given: every row that names them or hangs on them, in plain JSON."""
    held = people.held(person)
    said = {"written": at, "what": "Everything this workshop holds of one person.", "held": held}
    return json.dumps(said, cls=DjangoJSONEncoder, ensure_ascii=False, indent=1).encode()


def erase(act: Act, person: Person, *, until_on: date | None = None) -> JournalEntry:
    """Erase a person: all at once but what the book must still say, which is locked until its day.

    `until_on`: the last day the book needs them, where no rule of the place was read. Their name is also taken out of
    any words typed elsewhere, in the journal too; a frozen sheet that names them cannot be changed, so it is said.

    :raises Refused: by another than the owner, twice, while something is open with them, or without a day
    """
    with acts.once(act):
        _refuse(act, person, until_on)
        needed, job_ids = people.book(person).needed, people.jobs(person)
        folded = fold(person.name)
        frozen = privacy.frozen_with(person)
        if needed:
            _lock(person, until_on)
        privacy.sweep(person)
        texts = [text for room in reversed(people.ROOMS) for text in room.forget(act, person)]
        privacy.sweep_journal(JournalEntry.objects.filter(job__in=job_ids), texts)
        _find_no_more(folded, job_ids)
        after: dict[str, Any] = {"locked": needed, "frozen": [f"{row._meta.label_lower}:{row.pk}" for row in frozen]}
        sentence = "Erased a person on request" + (", their name in the book locked" if needed else "")
        return acts.write(act, "erase_person", sentence, person, area=Area.PERSON, after=after)


def _refuse(act: Act, person: Person, until_on: date | None) -> None:
    if not act.by.is_owner:
        raise Refused("Only the owner of the workshop may erase a person.")
    if person.erased_at is not None:
        raise Refused("This person was erased already.")
    if open_with := people.blocks(person):
        raise Refused(*open_with)
    kept = people.book(person)
    if kept.needed and kept.ask and until_on is None:
        raise Refused(f"{kept.ask} Type the day they told you.", field="until_on")
    if until_on is not None and until_on < act.day:
        raise Refused("This day has passed. Type the last day the book needs them.", field="until_on")


def _lock(person: Person, until_on: date | None) -> None:
    fields: dict[str, Any] = {}
    for room in people.ROOMS:
        fields |= room.locked(person)
    LockedIdentity.objects.create(person=person, fields=fields, typed_until_on=until_on)


def _find_no_more(folded: str, job_ids: list[int]) -> None:
    """Make the entries of Find anew wherever their name, or what they wrote, was found."""
    named = SearchEntry.objects.filter(folded__contains=folded) if folded else SearchEntry.objects.none()
    where = {*job_ids, *named.values_list("job_id", flat=True)}
    find.rebuild(Job.objects.filter(pk__in=where))


def forget_due(act: Act, today: date) -> JournalEntry:
    """Delete each locked name that the book needs no longer. :raises Refused: when none is due"""
    with acts.once(act):
        gone = people.due(today)
        if not gone:
            raise Refused("Nobody's day has come yet.")
        LockedIdentity.objects.filter(person__in=gone).delete()
        many = "1 person" if len(gone) == 1 else f"{len(gone)} people"
        ids = {"people": [person.pk for person in gone]}
        return acts.write(
            act, "forget_due", f"Took {many} out of the book: their day has come", gone[0], area=Area.PERSON, after=ids
        )
