"""A machine packed for a carrier."""

from typing import ClassVar

from django.db import models

from workshop.core import fields
from workshop.core.constraints import at_least
from workshop.core.models import Job, User


class Packed(models.Model):
    """How a machine was packed for a carrier. The newest row of a job counts; one taken back says it is not packed.

    The carrier is a firm; the buyer's name and address stand on the carrier's own label only.
    """

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="packed")
    boilers_drained = models.BooleanField(help_text="Nothing runs from group, steam pipe or hot-water tap.")
    tank_drained = models.BooleanField()
    wraps = models.JSONField(help_text="[part, how it is wrapped], as received.")
    weight_kg = fields.decimal(5, 1, null=False)
    insured_minor = fields.money()
    carrier = models.CharField(max_length=60)
    tracking = models.CharField(max_length=60, blank=True)
    taken_back = models.BooleanField(default=False)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        verbose_name_plural = "packed"
        constraints = [at_least("weight_kg", 0), at_least("insured_minor", 0)]

    def __str__(self) -> str:
        return f"Packed for {self.carrier}"
