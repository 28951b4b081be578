"""Seals: changed, kept with why, or not disturbed."""

from django.db import models

from workshop.bench.models.corrections import Corrected
from workshop.bench.words import SealEnd
from workshop.core import fields
from workshop.core.constraints import one_of
from workshop.core.models import Job, SealPosition, User
from workshop.parts.models import Movement


class SealWork(Corrected):
    """What became of the seal in one position. The newest answer of a position counts."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="seal_work")
    position = models.ForeignKey(SealPosition, models.PROTECT, related_name="work")
    end = fields.word(SealEnd)
    why = models.CharField(max_length=160, blank=True)
    size = models.CharField(max_length=40, blank=True)
    material = models.CharField(max_length=20, blank=True)
    thickness_mm = fields.decimal(4, 2)
    lock_in_clock = models.CharField(max_length=24, blank=True, help_text="Where the handle points when locked in.")
    movement = models.OneToOneField(Movement, models.PROTECT, null=True, blank=True, related_name="seal_work")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [one_of("end", SealEnd)]

    def __str__(self) -> str:
        return f"{self.position}: {self.get_end_display().lower()} {self.why}".strip()
