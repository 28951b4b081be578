"""The day a machine came here: nobody of the house can have shown, filmed or sold it before."""

from datetime import date

from django.db.models import Min
from django.utils import timezone

from intake.models import Purchase
from workshop.core.models import Job, Machine


def came_on(job: Job) -> date:
    """Return the day it was bought; a machine that came back was not bought again."""
    bought_on = Purchase.objects.filter(job=job).values_list("acquired_on", flat=True).first()
    return bought_on or timezone.localtime(job.opened_at).date()


def first_came_on(machine: Machine) -> date:
    """Return the day it came for the first time, however often it came back. Two queries."""
    opened_at = Job.objects.filter(machine=machine).aggregate(at=Min("opened_at"))["at"]
    bought_on = Purchase.objects.filter(job__machine=machine).aggregate(on=Min("acquired_on"))["on"]
    return min(on for on in (bought_on, timezone.localtime(opened_at).date()) if on)
