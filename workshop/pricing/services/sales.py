"""Writers of sales. All work inside the caller's act: Hand over agrees and cancels, and writes the entry."""

from datetime import date

from django.db.models import F

from intake.services.guard import open_job, refuse_sale_on_hold
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, Person
from workshop.pricing import balances
from workshop.pricing.models import Sale


def agree_sale(act: Act, job: Job, buyer: Person, price_minor: int, agreed_on: date) -> Sale:
    """Write down what was agreed with a buyer, inside the caller's act (it opens none and writes no entry).

    :raises Refused: on hold, when another sale of this job stands, the price is below zero, or the job has ended
    """
    open_job(job)
    refuse_sale_on_hold(act, job)
    if price_minor < 0:
        raise Refused("A price cannot be below zero.", field="price_minor")
    if standing := Sale.objects.filter(job=job, cancelled_at__isnull=True).select_related("buyer").first():
        raise Refused(f"It is agreed with {standing.buyer} already. Cancel that first.")
    settled = price_minor == 0
    return Sale.objects.create(job=job, buyer=buyer, price_minor=price_minor, agreed_on=agreed_on, settled=settled)


def cancel_sale(act: Act, sale: Sale) -> Sale:
    """Cancel a sale, inside the caller's act; what was paid is owed back until it is refunded.

    :raises Refused: when it was cancelled before, or the job has ended
    """
    open_job(sale.job)
    if not _set_cancelled(sale, act):
        raise Refused("This sale was cancelled already.")
    return sale


def cancel_gone_sale(act: Act, sale: Sale) -> None:
    """Cancel a sale whose machine has left, inside the caller's act; nothing happens where it was cancelled before."""
    _set_cancelled(sale, act)


def restore_gone_sale(sale: Sale) -> None:
    """Let a sale stand again that was cancelled after its machine had left, inside the caller's act."""
    _set_cancelled(sale, None)


def _set_cancelled(sale: Sale, act: Act | None) -> bool:
    """Cancel a sale by an act, or without one let it stand again; say whether that changed it."""
    at, by = (act.at, act.by) if act else (None, None)
    rows = Sale.objects.filter(pk=sale.pk, cancelled_at__isnull=act is not None)
    if not rows.update(cancelled_at=at, cancelled_by=by, version=F("version") + 1):
        return False
    balances.settle(sale)
    sale.refresh_from_db()
    return True
