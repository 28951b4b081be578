"""The core's writers: sign-offs, waits, readings, places, people, instruments, the workshop itself."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from workshop.core import acts, stations
from workshop.core.acts import Act, Refused
from workshop.core.models import (
    Counter,
    Instrument,
    Job,
    JournalEntry,
    Machine,
    Person,
    Place,
    Reading,
    Shop,
    Signoff,
    User,
    Wait,
)
from workshop.core.words import Area, Role


def sign_off(act: Act, station: stations.Station[Any], job: Job, *, seen: str) -> JournalEntry:
    """Sign a station off on the facts the person saw.

    :raises Refused: with every sentence of what is missing. :raises Stale: when the facts changed since.
    """
    with acts.once(act):
        facts = station.facts([job.pk])[job.pk]
        if stations.fingerprint(facts) != seen:
            raise acts.Stale({station.label: "something on this page changed. Read it again, then sign off."})
        if missing := station.unmet(facts):
            raise Refused(*(reason.sentence for reason in missing))
        Signoff.objects.filter(job=job, station=station.code, withdrawn_at__isnull=True).update(
            withdrawn_at=act.at, withdrawn_by=act.by
        )
        row = Signoff.objects.create(
            job=job, station=station.code, by=act.by, at=act.at, facts=stations.canonical(facts.asserted)
        )
        return acts.write(act, "sign_off", f"Signed off {station.label}", row, job=job, after={"facts": row.facts})


def withdraw_sign_off(act: Act, job: Job, station_code: str) -> JournalEntry:
    """Withdraw the standing sign-off of a station. :raises Refused: when none stands."""
    with acts.once(act):
        row = Signoff.objects.filter(job=job, station=station_code, withdrawn_at__isnull=True).first()
        if row is None:
            raise Refused("This station has no sign-off to withdraw.")
        row.withdrawn_at, row.withdrawn_by = act.at, act.by
        row.save(update_fields=["withdrawn_at", "withdrawn_by"])
        return acts.write(act, "withdraw_sign_off", f"Withdrew the sign-off of {station_code.lower()}", row, job=job)


@dataclass(frozen=True, slots=True)
class Found:
    """What a person found at the bench, and the limit it was held against."""

    card: str
    item: str
    title: str
    outcome: Reading.Outcome
    value: Decimal | None = None
    value_to: Decimal | None = None
    sign: str = ""
    state: str = ""
    unit: str = ""
    limit_low: Decimal | None = None
    limit_high: Decimal | None = None
    limit_words: str = ""
    edition: str = ""
    source: str = ""
    instrument: Instrument | None = None
    test_volts: int | None = None
    reason: str = ""
    note: str = ""


def record_reading(act: Act, job: Job, found: Found, *, corrects: Reading | None = None) -> JournalEntry:
    """Keep one reading. A failed one stays; measuring again adds a row, correcting a slip names the old one."""
    with acts.once(act):
        values = {name: getattr(found, name) for name in found.__slots__}
        row = Reading.objects.create(job=job, by=act.by, at=act.at, corrects=corrects, **values)
        return acts.write(act, "record_reading", f"Recorded {row}", row, job=job, after={"outcome": row.outcome})


def strike_reading(act: Act, reading: Reading) -> JournalEntry:
    """Take a reading back as a slip: a new row names it and counts for nothing. :raises Refused: if done before."""
    with acts.once(act):
        if Reading.objects.filter(corrects=reading).exists():
            raise Refused("This reading was corrected already.")
        values = {name: getattr(reading, name) for name in Found.__slots__}
        row = Reading.objects.create(job=reading.job, by=act.by, at=act.at, corrects=reading, struck=True, **values)
        return acts.write(act, "strike_reading", f"Took back {reading}", row, job=reading.job)


def begin_wait(act: Act, job: Job, *, station: str, kind: str, what: str, who: str, look_again_on: date | None) -> JournalEntry:
    """Hang a wait under a station."""
    with acts.once(act):
        row = Wait.objects.create(
            job=job, station=station, kind=kind, what=what, who=who, look_again_on=look_again_on, since_on=act.at.date()
        )
        return acts.write(act, "begin_wait", f"Waiting for {what}", row, job=job)


def end_wait(act: Act, wait: Wait) -> JournalEntry:
    """Take a wait off. :raises Refused: when it ended before."""
    with acts.once(act):
        if wait.ended_at is not None:
            raise Refused("This wait has ended already.")
        wait.ended_at, wait.ended_by = act.at, act.by
        wait.save(update_fields=["ended_at", "ended_by"])
        return acts.write(act, "end_wait", f"No longer waiting for {wait.what}", wait, job=wait.job)


def save_shop(act: Act, shop: Shop | None, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Set the workshop up, or change it. :raises Refused: a new currency once money was recorded."""
    with acts.once(act):
        if shop is None:
            row = Shop.objects.create(pk=1, **values)
            return acts.write(act, "open_shop", f"Opened {row.name}", row, area=Area.SHOP)
        used = JournalEntry.objects.filter(area=Area.MONEY).exists()
        if used and values.get("currency", shop.currency) != shop.currency:
            raise Refused("The currency is fixed once a price was recorded.", field="currency")
        before, after = acts.change(shop, version, values)
        return acts.write(act, "change_shop", "Changed our workshop", shop, area=Area.SHOP, before=before, after=after)


def add_instrument(act: Act, values: Mapping[str, Any]) -> JournalEntry:
    """Add an instrument the workshop owns."""
    with acts.once(act):
        row = Instrument.objects.create(**values)
        return acts.write(act, "add_instrument", f"Added instrument {row.name}", row, area=Area.SHOP)


def retire_instrument(act: Act, instrument: Instrument) -> JournalEntry:
    """Retire an instrument; its old readings keep naming it."""
    with acts.once(act):
        instrument.retired = True
        instrument.save(update_fields=["retired"])
        return acts.write(act, "retire_instrument", f"Retired instrument {instrument.name}", instrument, area=Area.SHOP)


def add_person(act: Act, values: Mapping[str, Any]) -> JournalEntry:
    """Add a seller, buyer or supplier. The journal keeps which fields were given, never what they held."""
    with acts.once(act):
        row = Person.objects.create(**values)
        given = [name for name, value in values.items() if value]
        return acts.write(act, "add_person", "Added a person", row, area=Area.PERSON, after={"fields": given})


def change_person(act: Act, person: Person, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Change a person. :raises Stale: when somebody else changed it meanwhile."""
    with acts.once(act):
        _, after = acts.change(person, version, values)
        return acts.write(act, "change_person", "Changed a person", person, area=Area.PERSON, after={"fields": [*after]})


def add_user(act: Act, *, username: str, first_name: str, role: str, password: str) -> JournalEntry:
    """Add a person who signs in."""
    with acts.once(act):
        row = User.objects.create_user(username=username, first_name=first_name, role=role, password=password)
        return acts.write(act, "add_user", f"{row} may sign in as {role.lower()}", row, area=Area.PERSON)


def first_owner(*, username: str, first_name: str, password: str) -> User:
    """Make the first person, the owner. :raises Refused: when somebody is there already."""
    if User.objects.exists():
        raise Refused("This workshop has an owner already. Ask them to let you in.")
    return User.objects.create_user(username=username, first_name=first_name, role=Role.OWNER, password=password)


def place_named(name: str) -> Place:
    """Return the place of that name, adding it when it is new (case is ignored)."""
    cleaned = " ".join(name.split())
    return Place.objects.filter(name__iexact=cleaned).first() or Place.objects.create(name=cleaned)


def move_machine(act: Act, machine: Machine, version: int, place_name: str) -> JournalEntry:
    """Note where a machine stands now. :raises Stale: when it was moved or changed meanwhile."""
    with acts.once(act):
        place = place_named(place_name)
        before, after = acts.change(machine, version, {"place": place})
        return acts.write(
            act, "move_machine", f"{machine} now stands at {place}", machine, machine=machine, before=before, after=after
        )


def change_machine(act: Act, machine: Machine, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Change the facts of a machine. :raises Stale: when they were changed meanwhile."""
    with acts.once(act):
        before, after = acts.change(machine, version, values)
        return acts.write(
            act, "change_machine", f"Changed the facts of {machine}", machine, machine=machine, before=before, after=after
        )


def next_number(name: str) -> int:
    """Take the next gapless number of a counter inside the caller's transaction (compare and set).

    :raises Stale: when another press took it first; the caller renders and tries again.
    """
    counter, _ = Counter.objects.get_or_create(name=name)
    number = counter.last + 1
    if not Counter.objects.filter(name=name, last=number - 1).update(last=number):
        raise acts.Stale({name: "another sheet took this number. Press again."})
    return number
