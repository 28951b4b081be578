"""Test rows of intake: required fields only, invented names."""

from datetime import UTC, date, datetime
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from intake import models
from tests.factories import JobFactory, PersonFactory, UserFactory
from workshop.core.models import Place

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


class PurchaseFactory(DjangoModelFactory):
    class Meta:
        model = models.Purchase

    job = factory.SubFactory(JobFactory)
    seller = factory.SubFactory(PersonFactory)
    price_minor = 8500
    acquired_on = date(2026, 5, 2)
    hold_words = "No hold is known to us for this place."


class SellerRecordFactory(DjangoModelFactory):
    class Meta:
        model = models.SellerRecord

    purchase = factory.SubFactory(PurchaseFactory)


class LotFactory(DjangoModelFactory):
    class Meta:
        model = models.Lot

    price_minor = 30000
    rule = "EQUAL"
    by = factory.SubFactory(UserFactory)
    at = NOON


class WalkFactory(DjangoModelFactory):
    class Meta:
        model = models.Walk

    job = factory.SubFactory(JobFactory)
    kind = "ARRIVAL"
    by = factory.SubFactory(UserFactory)
    at = NOON
    rule_version = 1


class FaceLookFactory(DjangoModelFactory):
    class Meta:
        model = models.FaceLook

    walk = factory.SubFactory(WalkFactory)
    face = "front"
    by = factory.SelfAttribute("walk.by")
    at = NOON


class MarkFactory(DjangoModelFactory):
    class Meta:
        model = models.Mark

    walk = factory.SubFactory(WalkFactory)
    number = factory.Sequence(lambda n: n + 1)
    face = "front"
    kind = "scratch"
    size_mm = Decimal("28.0")
    shows = "close_up"
    by = factory.SelfAttribute("walk.by")
    at = NOON


class PhotoFactory(DjangoModelFactory):
    class Meta:
        model = models.Photo

    job = factory.SubFactory(JobFactory)
    machine = factory.SelfAttribute("job.machine")
    number = factory.Sequence(lambda n: n + 1)
    sha = factory.Sequence(lambda n: f"{n:064x}")
    original_sha = "0" * 64
    purpose = "ARRIVAL"
    width_px = 1600
    height_px = 1200
    by = factory.SubFactory(UserFactory)
    at = NOON


class FindingFactory(DjangoModelFactory):
    class Meta:
        model = models.Finding

    job = factory.SubFactory(JobFactory)
    words = factory.Sequence(lambda n: f"drips from tap {n}")
    by = factory.SubFactory(UserFactory)
    at = NOON


class LoosePartFactory(DjangoModelFactory):
    class Meta:
        model = models.LoosePart

    job = factory.SubFactory(JobFactory)
    words = factory.Sequence(lambda n: f"Basket {n}")
    counted = 1
    by = factory.SubFactory(UserFactory)
    at = NOON


class NothingFactory(DjangoModelFactory):
    class Meta:
        model = models.Nothing

    job = factory.SubFactory(JobFactory)
    what = "FOUND"
    by = factory.SubFactory(UserFactory)
    at = NOON


class RecallCheckFactory(DjangoModelFactory):
    class Meta:
        model = models.RecallCheck

    job = factory.SubFactory(JobFactory)
    looked_on = date(2026, 5, 3)
    registers = "Safety Gate (European Commission)"
    found = "NOTHING"
    by = factory.SubFactory(UserFactory)
    at = NOON


def finished_intake(job):
    """Give a job everything that Intake asks for; call it with a job whose machine has a serial."""
    job.machine.place = Place.objects.get_or_create(name="Shelf B")[0]
    job.machine.save()
    purchase = PurchaseFactory(job=job, said="It drips when hot.")
    walk = WalkFactory(job=job)
    for face in ("front", "back", "left", "right", "top", "under"):
        FaceLookFactory(walk=walk, face=face)
    PhotoFactory(job=job)
    LoosePartFactory(job=job)
    FindingFactory(job=job)
    RecallCheckFactory(job=job)
    return purchase


class AsFoundFactory(DjangoModelFactory):
    class Meta:
        model = models.AsFound

    job = factory.SubFactory(JobFactory)
    item = "heats"
    answer = "WORKS"
    said = "Heats"
    by = factory.SubFactory(UserFactory)
    at = NOON


class SeenRunningFactory(DjangoModelFactory):
    class Meta:
        model = models.SeenRunning

    job = factory.SubFactory(JobFactory)
    items = factory.LazyFunction(lambda: ["heats", "pump"])
    said = "heats, pumps"
    seen_on = date(2026, 5, 2)
    by = factory.SubFactory(UserFactory)
    at = NOON


class BagFactory(DjangoModelFactory):
    class Meta:
        model = models.Bag

    job = factory.SubFactory(JobFactory)
    why = "Mould in the tank"
    bagged_at = NOON
    bagged_by = factory.SubFactory(UserFactory)
