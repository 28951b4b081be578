"""Test rows of money: the worked machine of the trade's own check, and small rows around it."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from intake.models import FaceLook
from intake.zones import FACES
from tests.factories import JobFactory, ModelNotesFactory, PersonFactory, UserFactory
from tests.intake.factories import PhotoFactory, PurchaseFactory, WalkFactory
from workshop.bench.models import WorkDone
from workshop.parts.models import Movement, Part
from workshop.pricing import models

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


class WorkFactory(DjangoModelFactory):
    class Meta:
        model = WorkDone

    job = factory.SubFactory(JobFactory)
    station = "MEND"
    what = "New group seal"
    minutes = 30
    by = factory.SubFactory(UserFactory)
    at = NOON


class PartFactory(DjangoModelFactory):
    class Meta:
        model = Part

    name = factory.Sequence(lambda n: f"Group seal {n}")


class MovementFactory(DjangoModelFactory):
    class Meta:
        model = Movement

    part = factory.SubFactory(PartFactory)
    seq = 1
    qty = -1
    value_minor = -860
    on_hand_after = 0
    value_after_minor = 0
    job = factory.SubFactory(JobFactory)
    by = factory.SubFactory(UserFactory)
    at = NOON


class ExtraCostFactory(DjangoModelFactory):
    class Meta:
        model = models.ExtraCost

    job = factory.SubFactory(JobFactory)
    words = "Carriage"
    amount_minor = 9500
    by = factory.SubFactory(UserFactory)
    at = NOON


class AskingPriceFactory(DjangoModelFactory):
    class Meta:
        model = models.AskingPrice

    job = factory.SubFactory(JobFactory)
    price_minor = 37099
    floor_minor = 28581
    profit_minor = 6000
    tax_minor = 0
    cost_minor = 21500
    reserve_minor = 600
    breakdown = factory.LazyFunction(list)
    by = factory.SubFactory(UserFactory)
    at = NOON


class SaleFactory(DjangoModelFactory):
    class Meta:
        model = models.Sale

    job = factory.SubFactory(JobFactory)
    buyer = factory.SubFactory(PersonFactory)
    price_minor = 52000
    agreed_on = date(2026, 5, 11)


class PaymentFactory(DjangoModelFactory):
    class Meta:
        model = models.Payment

    amount_minor = 8000
    method = "cash"
    by = factory.SubFactory(UserFactory)
    at = NOON


class SightingFactory(DjangoModelFactory):
    class Meta:
        model = models.Sighting

    notes = factory.SubFactory(ModelNotesFactory)
    kind = "HEAT_EXCHANGER"
    price_minor = 40000
    minutes = 120
    profit_minor = 6000
    not_mended_percent = Decimal(15)
    tax_rule = "NONE"
    bid_minor = 11402
    breakdown = factory.LazyFunction(lambda: {"mended": [], "not_mended": [], "together": []})
    worked_out_at = NOON
    by = factory.SubFactory(UserFactory)
    at = NOON


def past_job(notes, *, sold_minor=None, minutes=0, closed_as="SOLD_PROVED", days_ago=0, part=None, part_minor=420):
    """End a job of a model: what it fetched, the minutes on it, and a part it took."""
    at = NOON - timedelta(days=days_ago)
    by = UserFactory()
    job = JobFactory(machine__notes=notes, closed_at=at, closed_by=by, closed_as=closed_as)
    if minutes:
        WorkFactory(job=job, minutes=minutes, by=by)
    if part:
        seq = part.movements.count() + 1
        MovementFactory(part=part, seq=seq, job=job, value_minor=-part_minor, by=by)
    if sold_minor is not None:
        SaleFactory(job=job, price_minor=sold_minor)
    return job


def worked_shop(shop, **columns):
    """Give the workshop the fees of the trade's worked machine: 10 %, 2.9 % and 0.30, 60.00 wanted."""
    values = {
        "selling_fee_percent": Decimal("10"),
        "payment_fee_percent": Decimal("2.9"),
        "fixed_fee_minor": 30,
        "profit_wanted_minor": 6000,
        "mean_claim_minor": 6000,  # nothing sold yet: the prior's one in ten makes 6.00
        **columns,
    }
    for name, value in values.items():
        setattr(shop, name, value)
    shop.save()
    return shop


def worked_machine(job, by, **purchase):
    """Buy it for 120.00 with 95.00 of other costs, as in the trade's worked machine."""
    PurchaseFactory(job=job, price_minor=12000, **purchase)
    ExtraCostFactory(job=job, amount_minor=9500, by=by)
    return job


def looked_at(job, by, kind):
    """Walk round all six faces."""
    walk = WalkFactory(job=job, kind=kind, by=by)
    FaceLook.objects.bulk_create(FaceLook(walk=walk, face=face, by=by, at=NOON) for face in FACES)
    return walk


def ready_to_price(job, by, **purchase):
    """Bring a machine to where only its price is missing."""
    worked_machine(job, by, **purchase)
    WorkFactory(job=job, by=by, minutes=0, what="Looked it over")
    WorkFactory(job=job, by=by, minutes=30)
    looked_at(job, by, "ARRIVAL")
    looked_at(job, by, "SOLD")
    PhotoFactory(job=job, by=by)
    return job


class DecisionFactory(DjangoModelFactory):
    class Meta:
        model = models.Decision

    job = factory.SubFactory(JobFactory)
    way = "MEND"
    because = "the boiler is sound"
    minutes = 120
    worked_minutes = 0
    by = factory.SubFactory(UserFactory)
    at = NOON
