"""Asking prices that stand, for many jobs at once."""

from collections.abc import Collection

from workshop.pricing.models import CURRENT, AskingPrice


def standing(job_ids: Collection[int]) -> dict[int, AskingPrice]:
    """Return the newest asking price of each job that has one and did not take it back. One query."""
    rows = AskingPrice.objects.filter(CURRENT, job_id__in=job_ids)
    return {row.job_id: row for row in rows.select_related("by").order_by("pk")}


def prices(job_ids: Collection[int]) -> dict[int, int]:
    """Return the standing asking price of each job that has one, in minor units."""
    return {job_id: row.price_minor for job_id, row in standing(job_ids).items()}
