"""Test rows of the core: required fields only, invented names."""

from datetime import UTC, datetime

import factory
from factory.django import DjangoModelFactory

from workshop.core import models


class UserFactory(DjangoModelFactory):
    class Meta:
        model = models.User

    username = factory.Sequence(lambda n: f"person{n}")
    password = factory.django.Password("a long bench word")


class ShopFactory(DjangoModelFactory):
    class Meta:
        model = models.Shop
        django_get_or_create = ("id",)

    id = 1
    name = "The Tram Shed"
    country = "GB"
    currency = "GBP"
    profile = "uk_iet_5"


class PersonFactory(DjangoModelFactory):
    class Meta:
        model = models.Person

    name = factory.Sequence(lambda n: f"R. Buyer {n}")


class ModelNotesFactory(DjangoModelFactory):
    class Meta:
        model = models.ModelNotes

    maker = "Fennick and Low"
    model = factory.Sequence(lambda n: f"Heron {n}")
    kind = "HEAT_EXCHANGER"


class MachineFactory(DjangoModelFactory):
    class Meta:
        model = models.Machine

    stock_number = factory.Sequence(lambda n: n + 1)
    name = factory.Sequence(lambda n: f"Maple Harbour {n}")
    slug = factory.Sequence(lambda n: f"maple-harbour-{n}")
    notes = factory.SubFactory(ModelNotesFactory)
    serial = "0456-22"


class JobFactory(DjangoModelFactory):
    class Meta:
        model = models.Job

    machine = factory.SubFactory(MachineFactory)
    opened_at = datetime(2026, 5, 2, 9, 0, tzinfo=UTC)
