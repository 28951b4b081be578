"""The buyer's scale, grinder and coffee: asked once with the reservation, kept, changed, held to their words."""

from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from demo_fixtures import scenario
from handover import services
from handover.models import Reservation
from handover.services import NewReservation
from tests.house import NOW
from workshop.core.models import Job


@pytest.fixture
def told(db):
    """A machine priced and told of, free to reserve."""
    house = scenario.open_house(NOW)
    scenario.at_price(house)
    job = Job.objects.for_page().get()
    services.tell(house.act(0), job, how="SCREEN")
    return house, job


def new(**more):
    return NewReservation(
        buyer_name="P. Sund",
        buyer_phone="",
        price_minor=52000,
        collect_on=None,
        agreed="",
        drinks_per_day=Decimal(2),
        milk_drinks_per_day=Decimal(1),
        water="UNKNOWN",
        hardness_mg_l=None,
        has_scale="NO",
        **more,
    )


def test_what_stands_in_the_kitchen_is_kept_with_the_reservation(told):
    house, job = told
    services.reserve(house.act(0), job, new(has_grinder="NO", coffee_kind="READY_GROUND"))

    row = Reservation.objects.get()
    assert (row.has_scale, row.has_grinder, row.coffee_kind) == ("NO", "NO", "READY_GROUND")


def test_nobody_asked_is_said_as_it_is(told):
    house, job = told
    services.reserve(house.act(0), job, new())

    row = Reservation.objects.get()
    assert (row.has_grinder, row.coffee_kind) == ("UNKNOWN", "UNKNOWN")


def test_the_answers_are_changed_on_the_reservation(told, client):
    house, job = told
    services.reserve(house.act(0), job, new())
    client.force_login(house.owner)
    where = reverse("handover:reservation_edit", args=[job.machine.slug])
    page = client.get(where).content.decode()
    changed = client.post(
        where,
        {"version": 1, "drinks_per_day": "2", "milk_drinks_per_day": "1", "water": "SOFT", "has_scale": "NO",
         "has_grinder": "YES", "coffee_kind": "FRESH"},
    )  # fmt: skip

    assert "They have a grinder of their own" in page
    assert "Ready-ground, from a packet" in page
    assert changed.status_code == 302
    row = Reservation.objects.get()
    assert (row.has_grinder, row.coffee_kind) == ("YES", "FRESH")


@pytest.mark.parametrize(("column", "word"), [("has_grinder", "MAYBE"), ("coffee_kind", "STALE")])
def test_the_database_holds_the_answers_to_their_words(told, column, word):
    house, job = told
    services.reserve(house.act(0), job, new())

    with pytest.raises(IntegrityError), transaction.atomic():
        Reservation.objects.update(**{column: word})
