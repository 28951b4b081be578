"""Ending a job and opening it again, inside the caller's act: the room that ends it writes the entry."""

from datetime import date, datetime

from django.utils import timezone

from workshop.core.acts import Act, Refused
from workshop.core.models import Job
from workshop.core.words import ClosedAs

UNDO_DAYS = 1  # an ending is undone on the day and the next; later it is a new job. House policy.


def close_job(act: Act, job: Job, closed_as: ClosedAs) -> None:
    """End a job, inside the caller's act. :raises Refused: when it has ended already."""
    ended = Job.objects.filter(pk=job.pk, closed_at__isnull=True)
    if not ended.update(closed_at=act.at, closed_by=act.by, closed_as=closed_as):
        raise Refused("This job has ended already.")
    job.refresh_from_db(fields=["closed_at", "closed_by", "closed_as"])


def may_reopen(day: date, ended_at: datetime) -> bool:
    """Say whether an ending may still be undone on a day of the workshop's: on its own day and the next."""
    return (day - timezone.localtime(ended_at).date()).days <= UNDO_DAYS


def reopen_job(act: Act, job: Job, ended_at: datetime) -> None:
    """Undo an ending, inside the caller's act, until the next day.

    :raises Refused: later, or when the machine has another open job by now
    """
    if not may_reopen(act.day, ended_at):
        raise Refused("It is too late to undo: it left more than a day ago. Log that it came back.")
    if Job.objects.open().filter(machine=job.machine_id).exists():
        raise Refused("This machine has come in again since. What is true now belongs to that job.")
    job.closed_at, job.closed_by, job.closed_as = None, None, ""
    job.save(update_fields=["closed_at", "closed_by", "closed_as"])
