"""A sign-off rests on facts; where they change, the rail says so without anybody noticing first."""

import dataclasses

import pytest

from workshop.core import services, stations
from workshop.core.acts import Refused, Stale
from workshop.core.stations import Facts, State, Station, Unmet


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Boxes(Facts):
    count: int = 0


def station(boxes):
    def unmet(facts):
        return [] if facts.count >= 2 else [Unmet("few", f"{facts.count} of 2 boxes found.", "machine")]

    return Station("BOXES", "Boxes", "machine", lambda ids: dict.fromkeys(ids, boxes), unmet)


def found(count, **asserted):
    return Boxes(begun=count > 0, count=count, asserted={"boxes": [count], **asserted})


def sign(act, job, boxes):
    return services.sign_off(act(), station(boxes), job, seen=stations.fingerprint(boxes))


def standing_of(job, boxes):
    return stations.standings([station(boxes)], [job.pk])[job.pk][0]


def test_a_gate_that_is_not_met_lists_its_sentences(act, job):
    with pytest.raises(Refused) as refused:
        sign(act, job, found(1))

    assert refused.value.reasons == ("1 of 2 boxes found.",)


def test_facts_that_moved_since_the_page_was_opened_are_stale(act, job):
    with pytest.raises(Stale):
        services.sign_off(act(), station(found(2)), job, seen=stations.fingerprint(found(3)))


def test_a_station_goes_from_not_begun_to_finished(act, job):
    assert standing_of(job, found(0)).state is State.NOT_BEGUN
    assert standing_of(job, found(2)).state is State.BEGUN

    sign(act, job, found(2))

    assert standing_of(job, found(2)).state is State.FINISHED


def test_a_changed_fact_reopens_a_signed_station(act, job):
    sign(act, job, found(2))

    changed = standing_of(job, found(3))

    assert (changed.state, changed.words, changed.changed) == (State.BEGUN, "signed off, then changed", True)


def test_a_new_fact_of_a_later_release_does_not_reopen_an_old_sign_off(act, job):
    sign(act, job, found(2))

    assert standing_of(job, found(2, lids=[1])).state is State.FINISHED


def test_a_withdrawn_sign_off_stays_in_the_book(act, job):
    sign(act, job, found(2))

    services.withdraw_sign_off(act(), job, "BOXES")

    assert standing_of(job, found(2)).state is State.BEGUN
    assert job.signoffs.count() == 1


def test_a_station_whose_sign_off_stands_is_not_signed_off_twice(act, job):
    sign(act, job, found(2))

    with pytest.raises(Refused, match="Boxes is signed off already, by Ana"):
        sign(act, job, found(2))
    assert job.signoffs.count() == job.journal.count() == 1

    sign(act, job, found(3))
    assert job.signoffs.filter(withdrawn_at=None).count() == 1
