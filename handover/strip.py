"""The reservation as the side strip and This morning show it."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.urls import reverse

from handover import distance_rows, messages
from handover.models import Reservation
from handover.words import GoesBy
from workshop.core.models import Job
from workshop.core.templatetags.measures import day, money
from workshop.pricing import owed
from workshop.pricing import pages as pricing_pages


@dataclass(frozen=True, slots=True)
class Reserved:
    """Who a machine is kept for, and until when."""

    buyer: str
    collect_on: date | None
    collects: bool = True  # else we bring it, or a carrier does


def reserved(job_ids: Collection[int]) -> dict[int, Reserved]:
    """Return the standing reservations, by job."""
    rows = Reservation.objects.filter(job_id__in=job_ids, cancelled_at__isnull=True).select_related("buyer")
    return {row.job_id: Reserved(row.buyer.name, row.collect_on, row.goes_by == GoesBy.COLLECTED) for row in rows}


def stops(job: Job) -> list[dict[str, str]]:
    """Return a stop for each danger that a buyer of this machine wrote of and nobody has answered."""
    url = reverse("handover:handover", args=[job.machine.slug]) + "#buyer-wrote"
    return [
        {"words": f"The buyer wrote: {row.told}", "link": url, "link_words": "Answer the buyer"}
        for row in messages.dangers(job.machine)
    ]


def reservation(job: Job) -> dict[str, Any] | None:
    """Return the strip's block: title, lines of (label, value, heavy), words, url."""
    row = Reservation.objects.filter(job=job, cancelled_at__isnull=True).select_related("buyer").first()
    if row is None:
        return None
    lines = [("Collects" if row.goes_by == GoesBy.COLLECTED else "Leaves", day(row.collect_on) or "no day yet", False)]
    if job.closed_at is not None:
        lines = [("Handed over", day(job.closed_at), False)]
    if words := distance_rows.strip_line(row):
        lines.append(("May cancel", words, False))
    balance = pricing_pages.balance([job.pk]).get(job.pk)
    if balance is not None:
        shop = owed.shop()
        lines += [
            ("Agreed", money(balance.price_minor, shop), False),
            *([("Extras", money(balance.extras_minor, shop), False)] if balance.extras_minor else []),
            ("Paid", money(balance.paid_minor, shop), False),
            ("To come", money(balance.to_come_minor, shop), True),
        ]
    url = reverse("handover:handover", args=[job.machine.slug]) + "#reservation"
    title = f"Sold to {row.buyer}" if job.closed_at else f"Reserved for {row.buyer}"
    return {"title": title, "lines": lines, "words": row.agreed, "url": url}
