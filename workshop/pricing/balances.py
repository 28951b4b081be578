"""Sales that stand and what is still to come, for many jobs at once."""

from collections.abc import Collection
from dataclasses import dataclass

from django.db.models import OuterRef, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from workshop.core.models import Job
from workshop.core.reads import once_a_page
from workshop.pricing.models import CANCELLED_LATER, Sale, SaleLine

_CURRENT = Q(payments__struck=False, payments__corrected_by__isnull=True)


@dataclass(frozen=True, slots=True)
class Balance:
    """A sale in its figures, in minor units: the machine, what is paid, the extras sold with it."""

    price_minor: int
    paid_minor: int
    extras_minor: int = 0

    @property
    def to_come_minor(self) -> int:
        """What the buyer still owes; below zero when we owe the buyer."""
        return self.price_minor + self.extras_minor - self.paid_minor


def with_paid(sales: "QuerySet[Sale]") -> "QuerySet[Sale]":
    """Add `paid_minor` to each sale, its payments that stand, refunds taken off; and `extras_minor`, its lines."""
    lines = SaleLine.objects.filter(sale=OuterRef("pk"), struck_at__isnull=True).order_by()
    extras = Subquery(lines.values("sale").annotate(total=Sum("amount_minor")).values("total"))
    paid = Coalesce(Sum("payments__amount_minor", filter=_CURRENT), 0)
    return sales.annotate(paid_minor=paid, extras_minor=Coalesce(extras, 0))


@once_a_page
def standing(job_ids: Collection[int]) -> dict[int, Sale]:
    """Return the standing sale of each job that has one, with its buyer and `paid_minor`. One query."""
    rows = with_paid(Sale.objects.filter(job_id__in=job_ids, cancelled_at__isnull=True))
    return {row.job_id: row for row in rows.select_related("buyer").order_by("pk")}


def of_sale(sale: Sale) -> Balance:
    """Return the balance of a sale read through `with_paid`; a cancelled one asks for nothing any more."""
    paid: int = sale.paid_minor  # type: ignore[attr-defined]  # annotated by with_paid
    extras: int = sale.extras_minor  # type: ignore[attr-defined]  # annotated by with_paid
    return Balance(0, paid) if sale.cancelled_at else Balance(sale.price_minor, paid, extras)


def yours_again(job: Job) -> str:
    """Say of a return whose sale its buyer cancelled that the machine is the workshop's; nothing of any other job."""
    if job.first_job_id is None or not Sale.objects.filter(CANCELLED_LATER, job=job.first_job_id).exists():
        return ""
    return "They cancelled: it is yours again. End this return as kept, then log it again."


def settle(sale: Sale) -> None:
    """Keep with the sale whether anything is still owed, inside the caller's act: Owed reads only what is."""
    now = of_sale(with_paid(Sale.objects.filter(pk=sale.pk)).get())
    Sale.objects.filter(pk=sale.pk).update(settled=now.to_come_minor == 0)


def balance(job_ids: Collection[int]) -> dict[int, Balance]:
    """Return the balance of each job that has a standing sale."""
    return {job_id: of_sale(sale) for job_id, sale in standing(job_ids).items()}
