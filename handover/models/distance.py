"""A sale agreed at a distance: the paper given, the day it arrived, the buyer's word that they cancel."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from handover.models.agreed import Reservation
from handover.words import DistanceFact
from workshop.core import fields
from workshop.core.constraints import one_of
from workshop.core.models import User


class DistanceNote(models.Model):
    """One fact of a sale at a distance and its day. The newest of a kind counts; one without a day takes it back."""

    append_only: ClassVar[bool] = True

    reservation = models.ForeignKey(Reservation, models.PROTECT, related_name="distance_notes")
    fact = fields.word(DistanceFact)
    on = models.DateField(null=True, blank=True)
    words = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("fact", DistanceFact),
            models.CheckConstraint(
                name="handover_distancenote_taken_back_says_nothing",
                condition=Q(on__isnull=False) | Q(words=""),
                violation_error_message="A fact taken back has no words.",
            ),
        ]

    def __str__(self) -> str:
        return str(self.get_fact_display())
