"""Where somebody paused at the bench, and what is said of it."""

from collections.abc import Collection
from datetime import date

from django.utils import timezone

from workshop.bench.models import Pause
from workshop.bench.models.corrections import STANDS
from workshop.bench.words import PauseStep
from workshop.core.templatetags.measures import clock, short_day


def standing(job_ids: Collection[int]) -> dict[int, Pause]:
    """Return the place kept on each job that nobody has come back to yet. One query."""
    rows = Pause.objects.filter(STANDS, job_id__in=job_ids).select_related("by").order_by("pk")
    newest = {row.job_id: row for row in rows}
    return {job_id: row for job_id, row in newest.items() if row.step == PauseStep.PAUSED}


def words(pause: Pause, today: date) -> str:
    """Say where, who and when: "Paused at Earth path by Ana, 14:05"; the day too, when it was not today."""
    then = timezone.localdate(pause.at)
    on = "" if then == today else f"{short_day(then)} "
    return f"Paused at {pause.title} by {pause.by}, {on}{clock(pause.at)}"
