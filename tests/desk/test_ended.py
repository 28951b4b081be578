"""A machine whose job has ended: no act and no stop is offered, and its record goes back to how it came in."""

import pytest
from django.urls import reverse

from intake import services as intake
from intake.models import Bag
from intake.services import NewLot, NewMachine
from tests.conftest import NOON
from tests.desk.past import lists
from tests.factories import ModelNotesFactory
from tests.intake.factories import PurchaseFactory
from tests.pricing.factories import WorkFactory
from workshop.core.models import Job, JournalEntry, Place
from workshop.desk import frame
from workshop.desk.past import services as past
from workshop.desk.undo import undoable
from workshop.pricing import services
from workshop.pricing.services import PartLine
from workshop.trade.money.lots import LotRule


def words_of(client, job):
    return client.get(job.machine.get_absolute_url()).content.decode()


@pytest.fixture
def stripped(job, shop, owner, act):
    """A bagged machine of Shelf A, bought for 85.00, stripped for a pump of 25.00."""
    shop.mean_claim_minor = 6000
    shop.save()
    job.machine.place = Place.objects.create(name="Shelf A")
    job.machine.save()
    PurchaseFactory(job=job, price_minor=8500)
    WorkFactory(job=job, by=owner, minutes=30)
    Bag.objects.create(job=job, why="Mouse nest", bagged_by=owner, bagged_at=NOON)
    services.strip(act(), job, lines=[PartLine("Pump", 1, 2500)], words="not worth its boiler")
    return job


def test_no_act_and_no_stop_is_offered_on_a_machine_that_has_ended(client_in, stripped):
    page = words_of(client_in, stripped)

    for offer in ("Say that it is clean", "Bagged since", "It waits for something", "Shelf A", "Add work",
                  "Add photos", "Walk round", ">Decide<", "Pull a shot", " to do", "Price it", ">Move<",
                  ">Tag<"):  # fmt: skip
        assert offer not in page


@pytest.mark.parametrize(("ended", "glyph"), [("SOLD_PROVED", "full"), ("SCRAPPED", "open")])
def test_hand_over_is_finished_once_it_was_handed_over(job, shop, owner, ended, glyph):
    job.closed_at, job.closed_by, job.closed_as = NOON, owner, ended
    job.save()

    last = frame.frame(job).rail[-1]
    assert (last.label, last.state) == ("Hand over", glyph)
    assert (last.state_words == "finished") == (ended == "SOLD_PROVED")


def test_a_stripped_machines_sum_goes_down_to_what_the_drawer_got(client_in, stripped):
    page = words_of(client_in, stripped)

    assert "Into the drawer: 1 x Pump" in page
    assert "-£60.00" in page.replace("\u2212", "-")  # 25.00 in the drawer, 85.00 paid
    assert "Set aside for returns" not in page


def test_what_a_technician_may_not_undo_is_not_offered(stripped, owner, technician):
    ended = list(JournalEntry.objects.filter(verb="strip"))

    assert undoable(ended, owner) == {ended[0].pk}
    assert undoable(ended, technician) == set()


def test_the_record_of_a_machine_of_a_lot_begins_with_the_lot(client_in, act, shop):
    machines = tuple(NewMachine(notes=ModelNotesFactory(), price_minor=0, seller_name="R. Osgood", place="Shelf B")
                     for _ in range(2))  # fmt: skip
    entry = intake.log_lot(act(), shop, NewLot(10000, LotRule.EQUAL, machines, (None, None)))

    for job in Job.objects.all():
        assert entry.sentence in words_of(client_in, job)
        record = client_in.get(reverse("machine_record", args=[job.machine.slug])).context["entries"]
        assert record[-1] == entry


def test_the_record_of_a_machine_of_an_old_book_begins_with_the_book(client_in, act, shop):
    file = lists.keep(act(), "STOCK", lists.stock())
    entry = past.bring_in(act(), shop, file, file.version)

    assert entry.sentence in words_of(client_in, Job.objects.get())
