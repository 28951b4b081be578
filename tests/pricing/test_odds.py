"""What own jobs say of a model: which of them count, and what is drawn towards the kind."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.factories import JobFactory, ModelNotesFactory
from tests.pricing.factories import NOON, MovementFactory, PartFactory, SaleFactory, WorkFactory, past_job
from workshop.pricing.odds import evidence
from workshop.trade.money.odds import Cases, Minutes

pytestmark = pytest.mark.django_db


@pytest.fixture
def heron():
    return ModelNotesFactory(kind="HEAT_EXCHANGER")


def test_without_a_past_job_only_the_model_notes_and_the_guess_speak():
    known = evidence(ModelNotesFactory(usual_minutes=230), "HEAT_EXCHANGER")

    assert (known.own, known.kind, known.fetched, known.price_minor, known.minutes) == ((), (), None, None, None)
    assert (known.usual_minutes, known.parts, known.parts_minor, known.salvage_minor) == (230, (), None, None)
    assert known.not_mended.mean * 100 == 10


def test_a_price_is_the_middle_of_what_was_fetched_and_says_how_often(heron):
    past_job(ModelNotesFactory(kind="HEAT_EXCHANGER"), sold_minor=50000)
    past_job(heron, sold_minor=30000)
    past_job(heron, sold_minor=40000)
    known = evidence(heron, "HEAT_EXCHANGER")

    assert (known.price_minor, known.fetched.low_minor, known.fetched.high_minor) == (35000, 30000, 40000)
    assert known.fetched.interval is None

    past_job(heron, sold_minor=32000)
    known = evidence(heron, "HEAT_EXCHANGER")
    assert (known.price_minor, known.fetched.count) == (32000, 3)


def test_what_was_not_sold_as_proved_is_no_price(heron):
    past_job(heron, sold_minor=9000, closed_as="SOLD_UNTESTED")
    past_job(heron, closed_as="KEPT")
    cancelled = past_job(heron)
    SaleFactory(job=cancelled, price_minor=44000, cancelled_at=NOON, cancelled_by=cancelled.closed_by)
    SaleFactory(job=JobFactory(machine__notes=heron), price_minor=52000)  # agreed, not handed over
    past_job(ModelNotesFactory(kind="LEVER"), sold_minor=70000)

    known = evidence(heron, "HEAT_EXCHANGER")

    assert (known.fetched, known.price_minor) == (None, None)
    assert known.salvage_minor == 9000
    assert known.not_mended_cases == Cases(1, 2)  # what was kept tells nothing


def test_minutes_are_those_of_machines_that_were_mended(heron):
    for minutes in (100, 120, 180):
        past_job(heron, minutes=minutes)
    past_job(heron, minutes=600, closed_as="STRIPPED")

    assert evidence(heron, "HEAT_EXCHANGER").minutes == Minutes(120, 180)


def test_struck_work_is_no_work(heron):
    job = past_job(heron, minutes=100)
    WorkFactory(job=job, minutes=900, struck_at=NOON, struck_by=job.closed_by, by=job.closed_by)

    assert evidence(heron, "HEAT_EXCHANGER").minutes == Minutes(100, 100)


def test_a_part_counts_once_a_job_and_what_went_back_cancels_out(heron):
    seal, valve = PartFactory(name="Group seal"), PartFactory(name="Valve")
    first = past_job(heron, part=seal, part_minor=400)
    MovementFactory(part=seal, seq=2, job=first, value_minor=-400, by=first.closed_by)
    back = past_job(heron, part=valve, part_minor=1450)
    MovementFactory(part=valve, seq=2, qty=1, value_minor=1450, job=back, by=back.closed_by)

    (told,) = evidence(heron, "HEAT_EXCHANGER").parts

    assert (told.name, told.own, told.mean_minor) == ("Group seal", Cases(1, 2), 800)
    assert told.belief.mean * 10 == 5  # (1 + 0.5 x 3) / (2 + 3)
    assert told.expected_minor == 400


def test_an_unknown_model_leans_on_its_kind_alone(heron):
    past_job(heron, minutes=90, sold_minor=30000)

    known = evidence(None, "HEAT_EXCHANGER")

    assert (len(known.own), len(known.kind), known.price_minor, known.minutes) == (0, 1, None, Minutes(90, 90, 1))


def test_the_database_is_asked_equally_often_for_one_job_and_for_thirty(heron):
    seal = PartFactory()
    past_job(heron, sold_minor=30000, minutes=90, part=seal)
    with CaptureQueriesContext(connection) as one:
        evidence(heron, "HEAT_EXCHANGER")
    for number in range(29):
        past_job(heron if number % 2 else ModelNotesFactory(kind="HEAT_EXCHANGER"), sold_minor=1, minutes=9, part=seal)

    with CaptureQueriesContext(connection) as thirty:
        known = evidence(heron, "HEAT_EXCHANGER")

    assert (len(known.own) + len(known.kind), len(thirty)) == (30, len(one))
