"""Work done at the bench, the case being opened, and stations answered with 'not needed, because'."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from workshop.bench.words import WorkStation
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import Job, User
from workshop.parts.models import Movement


class WorkDone(models.Model):
    """One piece of work: what, minutes, and the part it took. Struck by a slip, never deleted."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="work")
    station = fields.word(WorkStation)
    what = models.CharField(max_length=120)
    minutes = models.PositiveIntegerField(default=0)
    movement = models.OneToOneField(Movement, models.PROTECT, null=True, blank=True, related_name="work")
    as_usual = models.BooleanField(default=False)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [one_of("station", WorkStation), paired("struck")]

    def __str__(self) -> str:
        return self.what


class CaseOpeningQuerySet(models.QuerySet["CaseOpening"]):
    """Reads."""

    def standing(self) -> "CaseOpeningQuerySet":
        """Return the openings that were not taken back as a slip."""
        return self.filter(struck_at__isnull=True)

    def open_now(self) -> "CaseOpeningQuerySet":
        """Return those that stand and were not shut."""
        return self.standing().filter(shut_at__isnull=True)


class CaseOpening(models.Model):
    """The case was opened, and shut again: electrical and leak readings from before do not count after.

    Struck where an answer that says "seen inside" was a slip: the case never was open.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="case_openings")
    why = models.CharField(max_length=120)
    opened_at = models.DateTimeField()
    opened_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    shut_at = models.DateTimeField(null=True, blank=True)
    shut_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    objects = CaseOpeningQuerySet.as_manager()

    class Meta:
        constraints = [
            paired("shut"),
            paired("struck"),
            models.UniqueConstraint(
                fields=["job"],
                condition=Q(shut_at__isnull=True, struck_at__isnull=True),
                name="bench_caseopening_one_open_a_job",
            ),
        ]

    def __str__(self) -> str:
        return f"Case opened: {self.why}"


class NotNeeded(models.Model):
    """A station, or a part of one, answered with 'not needed, because'. The newest answer counts."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="not_needed")
    what = models.CharField(max_length=24)
    because = models.CharField(max_length=200, blank=True, help_text="Empty takes an earlier answer back.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.what}: {self.because}"
