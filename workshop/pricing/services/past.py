"""The writer of sales from before this book: agreed, paid, and what their parts cost."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from workshop.core.acts import Act
from workshop.core.models import Job, Person
from workshop.pricing.models import ExtraCost, Payment, Sale
from workshop.pricing.odds import OLD_PARTS

BUYER = "A buyer before this book"  # who bought is in the old book; nobody is named here for it
WORDS = "As the old book says"


@dataclass(frozen=True, slots=True)
class PastSale:
    """A machine that was sold and paid for before this book was kept. Amounts in minor units."""

    job: Job
    price_minor: int
    parts_minor: int
    sold_on: date
    sold_at: datetime


def keep_past_sales(act: Act, sales: Sequence[PastSale]) -> None:
    """Write down sales of the past, each paid in full, inside the caller's act: a constant number of queries."""
    buyer = Person.objects.filter(name=BUYER, phone="").order_by("pk").first() or Person.objects.create(name=BUYER)
    rows = Sale.objects.bulk_create(
        Sale(job=one.job, buyer=buyer, price_minor=one.price_minor, agreed_on=one.sold_on, settled=True)
        for one in sales
    )
    Payment.objects.bulk_create(
        Payment(sale=row, amount_minor=row.price_minor, words=WORDS, by=act.by, at=one.sold_at)
        for row, one in zip(rows, sales, strict=True)
        if row.price_minor
    )
    ExtraCost.objects.bulk_create(
        ExtraCost(job=one.job, words=OLD_PARTS, amount_minor=one.parts_minor, by=act.by, at=one.sold_at)
        for one in sales
        if one.parts_minor
    )
