"""The journal of one machine: its own entries, and those of acts that brought in several machines at once."""

from django.db.models import Q, QuerySet

from intake.models import Purchase
from workshop.core.models import Job, JournalEntry, Machine
from workshop.desk.models import PastRow


def of_job(job: Job) -> "QuerySet[JournalEntry]":
    """Return the entries of one job, newest first, back to how it came in."""
    return _newest_first(Q(job=job) | _came_with(Q(job=job)))


def of_machine(machine: Machine) -> "QuerySet[JournalEntry]":
    """Return every entry of one machine, newest first, back to how it came in."""
    return _newest_first(Q(machine=machine) | _came_with(Q(job__machine=machine)))


def _newest_first(where: Q) -> "QuerySet[JournalEntry]":
    return JournalEntry.objects.filter(where).select_related("by", "machine").order_by("-at", "-pk")


def _came_with(where: Q) -> Q:
    """Return what finds the entries of the lot, and of the file of the past, that a machine came in with."""
    lots = Purchase.objects.filter(where, lot__isnull=False).values_list("lot_id", flat=True)
    files = PastRow.objects.filter(where).values_list("file_id", flat=True)
    return Q(subject__in=[f"intake.lot:{pk}" for pk in lots]) | Q(
        verb="bring_in", subject__in=[f"desk.pastfile:{pk}" for pk in files]
    )
