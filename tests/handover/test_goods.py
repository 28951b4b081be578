"""What goes with a machine: what came loose is offered with its number, and asked again when more came."""

from decimal import Decimal

import pytest
from django.urls import reverse

from handover import goods, services, stations
from handover.models import Received
from intake.services import add_loose_part
from tests.intake.factories import LoosePartFactory
from tests.pricing.factories import SaleFactory
from workshop.pricing.models import SaleLine

NBSP = "\u00a0"


def unmet(job):
    return [row.sentence for row in stations.unmet(stations.facts([job.pk])[job.pk])]


def test_what_came_loose_is_offered_with_its_number_and_a_basket_by_its_size(client_in, job):
    LoosePartFactory(job=job, words="tamper", counted=1)
    LoosePartFactory(job=job, words="double basket", counted=2, basket_mm=Decimal("58.0"), walls="ONE")
    LoosePartFactory(job=job, words="milk jug", counted=0)

    page = client_in.get(reverse("handover:handover", args=[job.machine.slug])).content.decode()

    assert goods.of(job) == ["tamper", f"2 × double basket, 58{NBSP}mm, one wall"]
    assert f"tamper\n2 × double basket, 58{NBSP}mm, one wall</textarea>" in page


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("2 x cup", "2 × cup"),
        ("2x cup", "2 × cup"),
        ("  3 *  basket,  58 mm ", "3 × basket, 58 mm"),
        ("4 times brush", "4 × brush"),
        ("58 mm basket", "58 mm basket"),
        ("2 x 58 mm basket", "2 × 58 mm basket"),
        ("12 xylitol sweets", "12 xylitol sweets"),
    ],
)
def test_a_count_is_written_one_way(typed, kept):
    assert goods.lines(f"\n{typed}\n") == [kept]


def test_it_is_counted_again_when_more_came_in_since(act, job):
    LoosePartFactory(job=job, words="tamper", counted=1)
    services.receive(act(), job, lines=["tamper"])
    assert "Count" not in " ".join(unmet(job))

    add_loose_part(act(), job, "brush", 1)

    assert "There is more since it was counted: brush. Count again." in unmet(job)
    services.receive(act(), job, lines=["tamper", "brush"])
    assert "Count" not in " ".join(unmet(job))


def test_what_came_since_is_offered_beside_the_last_count(client_in, act, job):
    LoosePartFactory(job=job, words="tamper", counted=1)
    services.receive(act(), job, lines=["the tamper of ours"])
    add_loose_part(act(), job, "brush", 2)

    page = client_in.get(reverse("handover:handover", args=[job.machine.slug])).content.decode()

    assert "the tamper of ours\n2 × brush</textarea>" in page


def test_a_count_from_before_this_was_kept_is_not_asked_again(act, job, owner):
    Received.objects.create(job=job, lines=["tamper"], by=owner, at=act().at)
    LoosePartFactory(job=job, words="brush", counted=1)

    assert "Count" not in " ".join(unmet(job))


def test_an_extra_sold_with_it_is_there_to_be_counted(act, job, owner):
    services.receive(act(), job, lines=["tamper"])
    sale = SaleFactory(job=job)
    SaleLine.objects.create(sale=sale, words="spare shower screen", amount_minor=900, by=owner, at=act().at)
    SaleLine.objects.create(
        sale=sale, words="brush", amount_minor=300, by=owner, at=act().at, struck_at=act().at, struck_by=owner
    )

    SaleLine.objects.create(sale=sale, words="delivery", amount_minor=2500, is_service=True, by=owner, at=act().at)

    assert goods.of(job) == ["spare shower screen"]
    assert "There is more since it was counted: spare shower screen. Count again." in unmet(job)
