"""The pages over places, the question before two machines share a spot, and the short addresses on tags."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import JobFactory, ModelNotesFactory
from workshop.core.models import Machine, Place


@pytest.fixture
def spot(db):
    return Place.objects.create(name="Bench left", holds_several=False)


def text(response):
    return response.content.decode()


def test_the_first_place_is_asked_for_where_there_is_none(client_in):
    assert "No place yet. Add the first one below." in text(client_in.get(reverse("places")))


def test_every_place_shows_what_stands_there_and_what_stands_nowhere(client_in, spot):
    here, nowhere = JobFactory(machine__place=spot), JobFactory()
    Place.objects.create(name="Shelf A")

    page = text(client_in.get(reverse("places")))

    assert page.index("Nobody said where") < page.index(str(nowhere.machine)) < page.index(str(here.machine))
    assert "Nothing stands here." in page
    assert "a spot for one" in page


def test_two_in_a_spot_for_one_are_pointed_out(client_in, spot):
    JobFactory.create_batch(2, machine__place=spot)

    assert "2 machines stand in a spot for one." in text(client_in.get(reverse("places")))
    assert "2 machines stand in a spot for one." in text(client_in.get(reverse("place", args=[spot.pk])))


def test_places_ask_equally_often_for_one_machine_and_for_thirty(client_in, spot):
    JobFactory(machine__place=spot)
    client_in.get(reverse("places"))
    with CaptureQueriesContext(connection) as one:
        client_in.get(reverse("places"))
    for number in range(29):
        JobFactory(machine__place=Place.objects.create(name=f"Shelf {number}"))

    with CaptureQueriesContext(connection) as thirty:
        client_in.get(reverse("places"))

    assert len(thirty) == len(one)


def test_a_place_is_added_once_by_two_presses(technician_in):
    typed = {"name": "Shelf A", "holds_several": "on", "key": "p1"}

    technician_in.post(reverse("place_add"), typed)
    technician_in.post(reverse("place_add"), typed)

    assert list(Place.objects.values_list("name", "holds_several")) == [("Shelf A", True)]


def test_a_name_in_use_keeps_what_was_typed(client_in, spot):
    refused = client_in.post(reverse("place_add"), {"name": "bench LEFT"})

    assert refused.status_code == 422
    assert 'value="bench LEFT"' in text(refused)
    assert "There is a place of that name already. Type another." in text(refused)


def test_a_place_renamed_meanwhile_is_a_409(client_in, spot):
    url = reverse("place", args=[spot.pk])
    client_in.post(url, {"name": "Bench middle", "version": 1})

    stale = client_in.post(url, {"name": "Bench right", "version": 1})

    assert stale.status_code == 409
    assert 'value="Bench right"' in text(stale)
    assert "Bench middle" in text(stale)


def test_a_place_with_a_machine_is_not_retired_and_an_empty_one_is(client_in, spot):
    job = JobFactory(machine__place=spot)
    retire = reverse("place_retire", args=[spot.pk])

    refused = client_in.post(retire)
    assert refused.status_code == 422
    assert f"{job.machine} stands there. Move it first" in text(refused)

    client_in.post(reverse("machine_move", args=[job.machine.slug]), {"place": "Shelf A", "version": 1})
    client_in.post(retire)
    assert '<option value="Bench left">' not in text(client_in.get(reverse("intake:machine_log")))

    client_in.post(reverse("place_use", args=[spot.pk]))
    assert '<option value="Bench left">' in text(client_in.get(reverse("intake:machine_log")))


def test_moving_into_a_taken_spot_asks_and_a_second_press_goes_on(client_in, spot, job):
    other = JobFactory(machine__place=spot)
    url = reverse("machine_move", args=[job.machine.slug])

    asked = client_in.post(url, {"place": "bench left", "version": 1})

    assert asked.status_code == 422
    assert f"{other.machine} stands at Bench left, a spot for one. Do both stand there?" in text(asked)
    assert f'name="sure" value="place {spot.pk}"' in text(asked)
    done = client_in.post(url, {"place": "bench left", "version": 1, "sure": f"place {spot.pk}"})
    assert done.status_code == 302
    assert Machine.objects.filter(place=spot).count() == 2


def test_logging_into_a_taken_spot_asks_and_a_second_press_goes_on(client_in, spot):
    JobFactory(machine__place=spot)
    typed = {"notes": ModelNotesFactory().pk, "price_minor": "85", "seller_name": "R. Vale", "place": "Bench left"}

    asked = client_in.post(reverse("intake:machine_log"), typed)
    assert asked.status_code == 422
    assert "Do both stand there?" in text(asked)
    assert Machine.objects.count() == 1

    client_in.post(reverse("intake:machine_log"), {**typed, "sure": f"place {spot.pk}"})
    assert Machine.objects.filter(place=spot).count() == 2


def test_a_free_spot_is_not_asked_about(client_in, spot, job):
    url = reverse("machine_move", args=[job.machine.slug])

    assert client_in.post(url, {"place": "Bench left", "version": 1}).status_code == 302
    assert 'name="sure" value=' not in text(client_in.get(url))


def test_a_scanned_tag_leads_through_sign_in_to_the_machine(job, owner):
    client = Client()
    scanned = reverse("scanned", args=[job.machine.slug])
    assert scanned == f"/m/{job.machine.slug}/"

    at_the_door = client.get(scanned)
    assert at_the_door.url == f"{reverse('sign_in')}?next={scanned}"
    owner.set_password("a long bench word")
    owner.save()
    typed = {"username": "ana", "password": "a long bench word", "next": scanned}
    signed_in = client.post(at_the_door.url, typed, follow=True)

    assert signed_in.redirect_chain[-1][0] == job.machine.get_absolute_url()
    assert signed_in.status_code == 200


def test_a_scanned_place_leads_to_what_stands_there(client_in, spot):
    job = JobFactory(machine__place=spot)

    page = client_in.get(reverse("place_scanned", args=[spot.pk]), follow=True)

    assert str(job.machine) in text(page)


@pytest.mark.parametrize("path", ["/m/no-such-one/", "/p/99/", "/places/99/", "/places/99/tag.pdf"])
def test_a_tag_of_nothing_is_not_found(client_in, path):
    assert client_in.get(path).status_code == 404
