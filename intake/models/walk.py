"""A time round the six faces, and the marks found on it."""

from django.db import models
from django.db.models import Q

from intake.models.photos import Photo
from intake.words import WalkKind, Zone
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import Job, User
from workshop.trade.condition.scoring import Face, MarkKind, Shows


class Walk(models.Model):
    """One time round the six faces: on arrival, and again before the sale."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="walks")
    kind = fields.word(WalkKind)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    rule_version = models.PositiveSmallIntegerField(help_text="Version of the score's rule.")

    class Meta:
        constraints = [
            one_of("kind", WalkKind),
            models.UniqueConstraint(fields=["job", "kind"], name="intake_walk_once_a_kind"),
        ]

    def __str__(self) -> str:
        return self.get_kind_display()


class FaceLook(models.Model):
    """A person's word that they looked at a face."""

    walk = models.ForeignKey(Walk, models.PROTECT, related_name="looks")
    face = fields.word(Face)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("face", Face),
            models.UniqueConstraint(fields=["walk", "face"], name="intake_facelook_once_a_face"),
        ]

    def __str__(self) -> str:
        return f"Looked at {Face(self.face).label}"


class Mark(models.Model):
    """One cosmetic flaw. Its number is the one in the drawing and stays its own for the whole job."""

    walk = models.ForeignKey(Walk, models.PROTECT, related_name="marks")
    number = models.PositiveSmallIntegerField()
    face = fields.word(Face)
    zone = fields.word(Zone, blank=True)
    kind = fields.word(MarkKind)
    size_mm = fields.decimal(6, 1, null=False)
    shows = fields.word(Shows)
    photo = models.ForeignKey(Photo, models.PROTECT, null=True, blank=True, related_name="marks")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    mended_at = models.DateTimeField(null=True, blank=True)
    mended_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True, help_text="Taken back: it was a slip.")
    withdrawn_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("face", Face),
            one_of("zone", Zone, blank=True),
            one_of("kind", MarkKind),
            one_of("shows", Shows),
            paired("mended"),
            paired("withdrawn"),
            models.CheckConstraint(name="intake_mark_size_mm_above_zero", condition=Q(size_mm__gt=0)),
            models.UniqueConstraint(fields=["walk", "number"], name="intake_mark_number_once_a_walk"),
        ]

    def __str__(self) -> str:
        return f"mark {self.number}"
