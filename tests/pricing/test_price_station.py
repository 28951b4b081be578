"""Price is finished when: each line, what a sign-off rests on, and what takes it back."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from intake import services as intake_services
from intake.models import Purchase
from tests.factories import JobFactory
from tests.intake.factories import MarkFactory, PhotoFactory, PurchaseFactory, WalkFactory
from tests.pricing.factories import ExtraCostFactory, WorkFactory, looked_at, ready_to_price, worked_shop
from workshop.core import services as core
from workshop.core import stations
from workshop.core.acts import Refused
from workshop.core.stations import State
from workshop.pricing import services
from workshop.pricing.models import AskingPrice
from workshop.pricing.stations import STATION

pytestmark = pytest.mark.django_db


def missing(job):
    return {row.code: row.sentence for row in STATION.unmet(STATION.facts([job.pk])[job.pk])}


def standing(job):
    return stations.standings([STATION], [job.pk])[job.pk][0]


def sign(act, job):
    facts = STATION.facts([job.pk])[job.pk]
    return core.sign_off(act(), STATION, job, seen=stations.fingerprint(facts))


@pytest.fixture
def priced(act, job, owner, shop):
    """A machine of which nothing is missing, asked at the suggestion of the worked machine."""
    worked_shop(shop)
    ready_to_price(job, owner)
    services.set_asking_price(act(), job, price_minor=37099)
    return job


def test_a_new_machine_lists_everything(job, shop):
    assert missing(job) == {
        "purchase": "Say who sold it and for how much.",
        "work": "Note the work done, or say that it needed none.",
        "asking": "Choose an asking price.",
        "second_look": "Look at the marks a second time: same as arrived, or new ones?",
        "photos": "Add a photo of it, as it is sold.",
    }
    assert standing(job).state is State.NOT_BEGUN


def test_nothing_is_missing_once_all_is_there(priced):
    assert missing(priced) == {}


def test_no_work_is_owned_in_words(act, job, shop):
    services.own_no_work(act(), job, because="it came clean")
    assert "work" not in missing(job)

    services.own_no_work(act(), job, because="")
    assert "work" in missing(job)


def test_the_same_as_arrived_is_the_second_look(act, job, owner, shop):
    looked_at(job, owner, "ARRIVAL")

    intake_services.look_again(act(), job)

    assert "second_look" not in missing(job)


def test_a_second_look_half_done_says_how_many_faces(act, job, owner, shop):
    looked_at(job, owner, "ARRIVAL")
    intake_services.begin_second_look(act(), job)

    assert missing(job)["second_look"] == "Finish the second look: 6 faces to go."


@pytest.mark.parametrize(("purpose", "counts"), [("ARRIVAL", True), ("SOLD", True), ("PLATE", False), ("MARK", False)])
def test_which_photos_count(job, owner, shop, purpose, counts):
    PhotoFactory(job=job, by=owner, purpose=purpose)

    assert ("photos" not in missing(job)) is counts


def test_a_cost_that_lifts_the_floor_over_the_price_opens_it_again(act, priced, owner):
    sign(act, priced)
    assert standing(priced).state is State.FINISHED

    ExtraCostFactory(job=priced, amount_minor=20000, by=owner)

    assert missing(priced) == {"asking": "The price is under the floor: raise it, or say why the loss is right."}
    assert (standing(priced).state, standing(priced).words) == (State.BEGUN, "signed off, then changed")


def test_a_small_cost_leaves_the_sign_off_alone(act, priced, owner):
    sign(act, priced)

    ExtraCostFactory(job=priced, amount_minor=100, by=owner)
    WorkFactory(job=priced, minutes=5, by=owner)
    PhotoFactory(job=priced, by=owner)

    assert standing(priced).state is State.FINISHED


def test_a_loss_owned_in_words_is_met(act, job, owner, shop):
    worked_shop(shop)
    ready_to_price(job, owner)
    services.set_asking_price(act(), job, price_minor=20000, below_floor_words="It stood for a year.")

    assert missing(job) == {}


@pytest.mark.parametrize("change", ["price", "price and back", "purchase", "new mark"])
def test_what_takes_a_sign_off_back(act, priced, owner, change):
    sign(act, priced)
    if change.startswith("price"):
        services.set_asking_price(act(), priced, price_minor=40000)
    if change == "price and back":
        services.strike_asking_price(act(), AskingPrice.objects.latest("pk"))
        services.set_asking_price(act(), priced, price_minor=37099)
    if change == "purchase":
        Purchase.objects.filter(job=priced).update(price_minor=11000)
    if change == "new mark":
        MarkFactory(walk=priced.walks.get(kind="SOLD"), by=owner)

    assert standing(priced).words == "signed off, then changed"


def test_pressed_too_early_it_says_what_is_missing(act, job, shop):
    with pytest.raises(Refused) as refused:
        sign(act, job)

    assert "Choose an asking price." in refused.value.reasons
    assert job.signoffs.count() == 0


def test_a_machine_that_came_back_needs_no_price(act, shop):
    job = JobFactory(kind="CAME_BACK")
    assert missing(job) == {}

    sign(act, job)

    assert (standing(job).state, standing(job).words) == (
        State.NOT_NEEDED,
        "not needed: it came back and goes home to its buyer",
    )


def test_fees_that_swallow_every_price_are_said(priced, shop):
    worked_shop(shop, selling_fee_percent=Decimal("60"), payment_fee_percent=Decimal("40"))

    assert missing(priced) == {"asking": "No price covers costs and fees: look at the fees in Our workshop."}


def test_no_sentence_tells_a_figure(priced, owner, shop):
    ExtraCostFactory(job=priced, amount_minor=20000, by=owner)

    for sentence in missing(priced).values():
        assert [c for c in sentence if c.isdigit()] == []


def test_thirty_jobs_take_no_more_queries_than_one(owner, shop):
    worked_shop(shop)
    jobs = [ready_to_price(JobFactory(), owner) for _ in range(30)]
    counts = []
    for some in (jobs[:1], jobs):
        with CaptureQueriesContext(connection) as seen:
            assert len(STATION.facts([job.pk for job in some])) == len(some)
        counts.append(len(seen))

    assert counts[0] == counts[1]


def test_a_job_without_any_row_has_facts(shop):
    job = JobFactory()
    PurchaseFactory()
    WalkFactory()

    assert set(STATION.facts([job.pk])) == {job.pk}
