"""Photos as they are kept."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from intake.words import PhotoFor
from workshop.core import fields
from workshop.core.constraints import one_of
from workshop.core.models import Job, Machine, User
from workshop.trade.condition.scoring import Face


class Photo(models.Model):
    """A photo as it is kept: upright, shrunk, without place data. Taking one back is a row that names it."""

    append_only: ClassVar[bool] = True

    machine = models.ForeignKey(Machine, models.PROTECT, related_name="photos")
    job = models.ForeignKey(Job, models.PROTECT, related_name="photos")
    face = fields.word(Face, blank=True)
    number = models.PositiveSmallIntegerField(help_text="Counts up on each face of a job.")
    sha = models.CharField(max_length=64, help_text="SHA-256 of the bytes kept.")
    original_sha = models.CharField(max_length=64, help_text="SHA-256 of the bytes sent.")
    purpose = fields.word(PhotoFor)
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    taken_at = models.DateTimeField(null=True, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    corrects = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="corrected_by")
    struck = models.BooleanField(default=False)

    class Meta:
        constraints = [
            one_of("face", Face, blank=True),
            one_of("purpose", PhotoFor),
            models.UniqueConstraint(
                fields=["job", "face", "number"], condition=Q(struck=False), name="intake_photo_number_once_a_face"
            ),
        ]
        indexes = [models.Index(fields=["sha"], name="intake_photo_sha")]

    def __str__(self) -> str:
        where = Face(self.face).label.capitalize() if self.face else "Photo"
        return f"{where} {self.number}"
