"""Places: added, renamed, retired; and the question before two machines stand in a spot for one."""

import pytest

from tests.factories import JobFactory, MachineFactory
from workshop.core import services
from workshop.core.acts import Refused, Stale
from workshop.core.models import JournalEntry, Machine, Place, SearchEntry
from workshop.core.undo import UNDO


@pytest.fixture
def spot(db):
    return Place.objects.create(name="Bench left", holds_several=False)


def test_a_new_place_holds_several_until_somebody_says_otherwise(act, db):
    assert services.place_named("Shelf A").holds_several is True

    services.add_place(act(), name="Bench left", holds_several=False)

    assert Place.objects.get(name="Bench left").holds_several is False


def test_a_place_is_added_once_whatever_the_case(act, spot):
    with pytest.raises(Refused, match="There is a place of that name already"):
        services.add_place(act(), name=" bench  LEFT ", holds_several=True)

    assert Place.objects.count() == 1


def test_a_second_machine_in_a_spot_for_one_is_asked_about_and_then_goes_on(act, spot, job):
    first = MachineFactory(place=spot)
    JobFactory(machine=first)

    with pytest.raises(Refused, match=f"{first} stands at Bench left, a spot for one"):
        services.move_machine(act(), job.machine, 1, "Bench left")
    services.move_machine(act(), job.machine, 1, "Bench left", sure=f"place {spot.pk}")

    job.machine.refresh_from_db()
    assert job.machine.place == spot


def test_the_question_is_asked_again_for_another_spot(act, spot, job):
    JobFactory(machine__place=spot)

    with pytest.raises(Refused):
        services.move_machine(act(), job.machine, 1, "Bench left", sure="place 0")


def test_a_machine_may_stay_where_it_stands_alone(act, spot):
    job = JobFactory(machine__place=spot)

    services.move_machine(act(), job.machine, 1, "Bench left")

    assert JournalEntry.objects.get().verb == "move_machine"


def test_a_machine_whose_job_has_ended_stands_in_nobodys_way(act, spot, job):
    JobFactory(machine__place=spot, closed_at=act().at, closed_by=act().by, closed_as="SOLD_PROVED")

    services.move_machine(act(), job.machine, 1, "Bench left")

    assert Machine.objects.filter(place=spot).count() == 2


def test_a_shelf_never_asks(act, job):
    JobFactory(machine__place=Place.objects.create(name="Shelf A"))

    services.move_machine(act(), job.machine, 1, "shelf a")

    job.machine.refresh_from_db()
    assert job.machine.place.name == "Shelf A"


def test_renaming_a_place_renames_what_find_reads(act, job):
    services.move_machine(act(), job.machine, 1, "Shelf A")
    place = Place.objects.get()

    services.change_place(act(), place, 1, name="Regal Süd", holds_several=True)

    assert SearchEntry.objects.get(job=job, source="PLACE").folded == "regal sud\nregal sued"
    assert JournalEntry.objects.latest("pk").after == {"name": "Regal Süd"}


def test_a_name_in_use_is_refused_and_an_old_page_is_stale(act, spot):
    shelf = Place.objects.create(name="Shelf A")
    with pytest.raises(Refused, match="Another place has this name"):
        services.change_place(act(), shelf, 1, name="BENCH LEFT", holds_several=True)
    services.change_place(act(), shelf, 1, name="Shelf B", holds_several=True)

    with pytest.raises(Stale):
        services.change_place(act(), shelf, 1, name="Shelf C", holds_several=True)


def test_a_place_with_a_machine_is_not_retired(act, spot):
    job = JobFactory(machine__place=spot)

    with pytest.raises(Refused, match=f"{job.machine} stands there. Move it first"):
        services.retire_place(act(), spot)

    assert Place.objects.get().retired is False


def test_a_retired_place_comes_back_by_undo_or_when_a_machine_is_put_there(act, spot, job):
    entry = services.retire_place(act(), spot)
    with pytest.raises(Refused, match="retired already"):
        services.retire_place(act(), spot)
    UNDO["retire_place"](act(), entry)
    assert Place.objects.get().retired is False

    services.retire_place(act(), Place.objects.get())
    services.move_machine(act(), job.machine, 1, "bench left")

    assert Place.objects.get().retired is False
