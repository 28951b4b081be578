"""The journal of one machine: its own entries, and those of acts that brought in several machines at once."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q, QuerySet

from handover.models import BuyerMessage
from intake.models import Purchase
from workshop.core.models import Job, JournalEntry, Machine
from workshop.desk.models import PastRow


def of_job(job: Job) -> "QuerySet[JournalEntry]":
    """Return the entries of one job, newest first, back to how it came in."""
    # A return is opened by an entry of the machine: see handover.returns.
    opened = Q(machine=job.machine_id, subject=f"core.job:{job.pk}") if job.first_job_id else Q(pk=None)
    return _newest_first(Q(job=job) | _came_with(Q(job=job)) | opened)


def of_machine(machine: Machine) -> "QuerySet[JournalEntry]":
    """Return every entry of one machine, newest first, back to how it came in."""
    return _newest_first(Q(machine=machine) | _came_with(Q(job__machine=machine)))


@dataclass(frozen=True, slots=True)
class WrittenLine:
    """A line of the record that no signed-in person acted: a buyer's message. It reads like an entry."""

    at: datetime
    sentence: str
    machine: Machine
    by: str = "The buyer wrote"
    pk: None = None


def with_messages(
    entries: "Iterable[JournalEntry]", machine: Machine | None = None, newest: int | None = None
) -> list[JournalEntry | WrittenLine]:
    """Return entries and what buyers wrote (of one machine, or of all), newest first, at most `newest` of each."""
    rows = BuyerMessage.objects.select_related("link__job__machine").order_by("-at", "-pk")
    if machine is not None:
        rows = rows.filter(link__job__machine=machine)
    lines: list[JournalEntry | WrittenLine] = [
        WrittenLine(row.at, row.told, row.link.job.machine) for row in rows[:newest]
    ]
    return sorted([*entries, *lines], key=lambda line: line.at, reverse=True)[:newest]


def _newest_first(where: Q) -> "QuerySet[JournalEntry]":
    return JournalEntry.objects.filter(where).select_related("by", "machine").order_by("-at", "-pk")


def _came_with(where: Q) -> Q:
    """Return what finds the entries of the lot, and of the file of the past, that a machine came in with."""
    lots = Purchase.objects.filter(where, lot__isnull=False).values_list("lot_id", flat=True)
    files = PastRow.objects.filter(where).values_list("file_id", flat=True)
    return Q(subject__in=[f"intake.lot:{pk}" for pk in lots]) | Q(
        verb="bring_in", subject__in=[f"desk.pastfile:{pk}" for pk in files]
    )
