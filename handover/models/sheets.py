"""The sheets issued, and the act of handing over."""

from typing import ClassVar

from django.db import models

from workshop.core.constraints import paired
from workshop.core.models import Job, User


class Sheet(models.Model):
    """One issued handover sheet: frozen content, its number, and the PDF's hash. It holds no buyer."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="sheets")
    number = models.PositiveIntegerField(unique=True)
    content = models.TextField(help_text="The snapshot it was printed from.")
    sha256 = models.CharField(max_length=64)
    pages = models.PositiveSmallIntegerField()
    dated = models.BooleanField(help_text="Whether the care calendar has dates.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"Sheet {self.number}"


class HandedOver(models.Model):
    """The machine left with its buyer; undone until the next day by withdrawing it."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="handed_over")
    sheet = models.ForeignKey(Sheet, models.PROTECT, related_name="+")
    owed_words = models.CharField(max_length=200, blank=True, help_text="Who pays what when, if a balance is open.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [paired("withdrawn")]

    def __str__(self) -> str:
        return "Handed over"
