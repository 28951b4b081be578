"""A sale agreed at a distance, as far as each test wants it."""

from datetime import UTC, date, datetime
from decimal import Decimal

from handover import distance
from handover.models import HandedOver, Reservation, Sheet
from handover.words import DistanceFact, GoesBy, SoldHow
from tests.pricing.factories import SaleFactory
from workshop.pricing import services as pricing

LEFT = date(2026, 3, 2)  # a Monday


def at_noon(day):
    return datetime(day.year, day.month, day.day, 12, tzinfo=UTC)


def reserved(owner, sold_how=SoldHow.DISTANCE, goes_by=GoesBy.DELIVERED, **more):
    sale = SaleFactory(agreed_on=date(2026, 2, 20))
    return Reservation.objects.create(
        job=sale.job,
        sale=sale,
        buyer=sale.buyer,
        drinks_per_day=Decimal(2),
        milk_drinks_per_day=Decimal(1),
        sold_how=sold_how,
        goes_by=goes_by,
        made_at=at_noon(date(2026, 2, 20)),
        made_by=owner,
        **more,
    )


def leave(owner, row, day=LEFT):
    number = Sheet.objects.count() + 1
    sheet = Sheet.objects.create(
        job=row.job, number=number, content="{}", sha256="0" * 64, pages=2, dated=False, by=owner, at=at_noon(day)
    )
    HandedOver.objects.create(job=row.job, sheet=sheet, by=owner, at=at_noon(day))
    row.job.closed_at, row.job.closed_by, row.job.closed_as = at_noon(day), owner, "SOLD_PROVED"
    row.job.save()
    return row


def cancelled(owner, row, acting):
    """One sold for 520.00, paid 80.00, left on the 2nd; on the 5th its buyer says that they cancel."""
    leave(owner, row)
    pricing.record_payment(acting(LEFT), row.sale, 8000, "cash")
    return distance.note(acting(date(2026, 3, 5)), row, DistanceFact.CANCELLED, date(2026, 3, 5))
