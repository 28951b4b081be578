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


@pytest.mark.parametrize(
    "typed", ["0 × basket", "-3 × basket", "\u22123 x basket", "999999 × basket", "100 times cup", "1.5 x cup"]
)
def test_a_number_that_counts_nothing_is_refused_in_a_sentence(client_in, job, typed):
    refused = client_in.post(
        reverse("handover:received_add", args=[job.machine.slug]), {"lines": f"1 x tamper\n{typed}"}
    )

    assert (refused.status_code, Received.objects.count()) == (422, 0)
    assert "count from 1 to 99 of a thing" in refused.content.decode()
    assert f"1 x tamper\n{typed}</textarea>" in refused.content.decode()


def test_no_line_of_a_long_list_is_dropped_without_a_word(client_in, job):
    add = reverse("handover:received_add", args=[job.machine.slug])
    refused = client_in.post(add, {"lines": "\n".join(f"cup {n}" for n in range(60))})

    assert (refused.status_code, Received.objects.count()) == (422, 0)
    assert "These are 60 lines. Keep it to 40" in refused.content.decode()
    client_in.post(add, {"lines": "\n".join(["120 x 80 mm tray", *(f"cup {n}" for n in range(39))])})
    assert len(Received.objects.get().lines) == 40


def test_one_thing_is_one_thing(act, job):
    assert services.receive(act(), job, lines=["tamper"]).sentence == "It goes with 1 thing"


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
