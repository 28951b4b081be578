"""Test rows of the bench: required fields only, invented names."""

from datetime import UTC, datetime
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from tests.factories import JobFactory, MachineFactory, ModelNotesFactory, UserFactory
from workshop.bench import models
from workshop.core.models import Instrument, SafetyPart, SealPosition

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


class InstrumentFactory(DjangoModelFactory):
    class Meta:
        model = Instrument

    kind = "EARTH"
    name = factory.Sequence(lambda n: f"Meter {n}")


class SafetyPartFactory(DjangoModelFactory):
    class Meta:
        model = SafetyPart

    name = "Boiler cut-out"
    rating = "145 °C"


class SealPositionFactory(DjangoModelFactory):
    class Meta:
        model = SealPosition

    name = "Group seal"
    is_group = True


class KettleNotesFactory(ModelNotesFactory):
    """A heat exchanger of 1,400 W with a stepped grinder built in: 1 to 24, lower is finer."""

    model = factory.Sequence(lambda n: f"Kettle {n}")
    brew_boiler_l = Decimal("0.100")
    steam_boiler_l = Decimal("1.100")
    boiler_metal = "COPPER"
    watts = 1400
    volts = 230
    has_grinder = True
    grind_scale = "steps"
    grind_low = 1
    grind_high = 24
    grind_step = 1
    grind_finer = "LOWER"
    baskets = "Double | 16 to 18 g, one wall\nTwo-wall | ready-ground"
    dose_g = Decimal("17.5")
    yield_g = Decimal(35)
    time_low_s = 24
    time_high_s = 31


class KettleFactory(MachineFactory):
    """One unit with a 1.5 m cord of 1.0 mm²."""

    notes = factory.SubFactory(KettleNotesFactory)
    cord_length_m = Decimal("1.5")
    cord_section_mm2 = Decimal("1.0")


class KettleJobFactory(JobFactory):
    machine = factory.SubFactory(KettleFactory)


class ShotFactory(DjangoModelFactory):
    class Meta:
        model = models.Shot

    job = factory.SubFactory(KettleJobFactory)
    number = factory.Sequence(lambda n: n + 1)
    setting = Decimal(12)
    setting_words = "12"
    dose_g = Decimal("17.5")
    yield_g = Decimal(35)
    time_s = Decimal(27)
    by = factory.SubFactory(UserFactory)
    at = NOON
