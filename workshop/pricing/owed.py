"""Who owes whom: balances of sales, refunds of cancelled ones, purchases not paid in full."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from django.db.models import F, Q, Sum
from django.urls import reverse

from intake.models import Purchase
from workshop.core.models import Machine, Shop
from workshop.core.templatetags.measures import short_day
from workshop.core.words import ClosedAs
from workshop.pricing import balances
from workshop.pricing.models import CURRENT, Payment, Sale

A_SELLER = "A private seller"


@dataclass(frozen=True, slots=True)
class Line:
    """One sum owed to us or by us."""

    person: str
    words: str
    amount_minor: int
    to_us: bool
    since_on: date
    shop: Shop
    url: str = ""


def shop() -> Shop | None:
    """Return the workshop, whose currency the sums are in."""
    return Shop.objects.filter(pk=1).first()


def lines() -> list[Line]:
    """Return what is owed, oldest first: four queries for any number of sales and purchases."""
    ours = shop()
    if ours is None:
        return []
    found = [*_sales(ours), *_purchases(ours)]
    return sorted(found, key=lambda line: (line.since_on, line.person))


def _sales(ours: Shop) -> Iterator[Line]:
    open_ones = Q(cancelled_at__isnull=True) & ~Q(paid_minor=F("price_minor") + F("extras_minor"))
    open_ones |= Q(cancelled_at__isnull=False) & ~Q(paid_minor=0)
    rows = balances.with_paid(Sale.objects.filter(settled=False)).filter(open_ones)
    for sale in rows.select_related("buyer", "job__machine").order_by("agreed_on", "pk"):
        to_come = balances.of_sale(sale).to_come_minor
        machine = sale.job.machine
        words = f"The balance on {machine}" if to_come > 0 else _back(sale, machine)
        yield Line(str(sale.buyer), words, abs(to_come), to_come > 0, sale.agreed_on, ours, _url(machine))


def _back(sale: Sale, machine: Machine) -> str:
    return f"Paid for {machine}, which was cancelled" if sale.cancelled_at else f"Paid too much for {machine}"


def _purchases(ours: Shop) -> Iterator[Line]:
    listed = Payment.objects.filter(CURRENT, purchase__isnull=False)  # one paid in one go has no row: it is not read
    sums = listed.values("purchase_id").annotate(paid_minor=Sum("amount_minor"))
    paid = dict(sums.filter(paid_minor__lt=F("purchase__price_minor")).values_list("purchase_id", "paid_minor"))
    rows = Purchase.objects.filter(pk__in=paid).exclude(job__closed_as=ClosedAs.GIVEN_BACK)
    for row in rows.select_related("seller", "job__machine").order_by("acquired_on", "pk"):
        machine = row.job.machine
        words = f"The price of {machine}, bought {short_day(row.acquired_on)}"
        owed = row.price_minor - paid[row.pk]
        yield Line(str(row.seller or A_SELLER), words, owed, False, row.acquired_on, ours, _url(machine))


def _url(machine: Machine) -> str:
    return reverse("pricing:payments", args=[machine.slug])
