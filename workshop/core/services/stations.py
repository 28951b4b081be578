"""Writers of sign-offs and waits."""

from datetime import date
from typing import Any

from workshop.core import acts, search, stations
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Signoff, Wait
from workshop.core.words import FoundIn


def sign_off(act: Act, station: stations.Station[Any], job: Job, *, seen: str) -> JournalEntry:
    """Sign a station off on the facts the person saw.

    :raises Refused: with every sentence of what is missing, or where a sign-off stands.
    :raises Stale: when the facts changed since.
    """
    with acts.once(act):
        now = stations.one(station, job.pk)
        facts = now.facts
        if stations.fingerprint(facts) != seen:
            raise acts.Stale({station.label: "something on this page changed. Read it again, then sign off."})
        if now.signoff is not None and not now.changed:
            raise Refused(f"{station.label} is signed off already, by {now.signoff.by}. Nothing changed since.")
        if now.unmet:
            raise Refused(*(reason.sentence for reason in now.unmet))
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


def begin_wait(
    act: Act, job: Job, *, station: str, kind: str, what: str, who: str, look_again_on: date | None
) -> JournalEntry:
    """Hang a wait under a station."""
    with acts.once(act):
        row = Wait.objects.create(
            job=job,
            station=station,
            kind=kind,
            what=what,
            who=who,
            look_again_on=look_again_on,
            since_on=act.day,
        )
        search.refresh(job, search.READERS, FoundIn.WAIT)
        return acts.write(act, "begin_wait", f"Waiting for {what}", row, job=job)


def end_wait(act: Act, wait: Wait) -> JournalEntry:
    """Take a wait off. :raises Refused: when it ended before."""
    with acts.once(act):
        if wait.ended_at is not None:
            raise Refused("This wait has ended already.")
        wait.ended_at, wait.ended_by = act.at, act.by
        wait.save(update_fields=["ended_at", "ended_by"])
        return acts.write(act, "end_wait", f"No longer waiting for {wait.what}", wait, job=wait.job)
