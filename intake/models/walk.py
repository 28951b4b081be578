"""A time round the six faces, and the marks found on it, also on loose parts."""

from django.db import models
from django.db.models import Q

from intake.models.arrival import LoosePart
from intake.models.photos import Photo
from intake.words import WalkKind, Zone
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import Job, User
from workshop.trade.condition.scoring import Face, MarkKind, Shows


class Walk(models.Model):
    """One time round the six faces: on arrival, again before the sale, and once blind by a second person.

    Only a blind walk is finished by a press: until then its person sees no mark but their own.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="walks")
    kind = fields.word(WalkKind)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    rule_version = models.PositiveSmallIntegerField(help_text="Version of the score's rule.")
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            one_of("kind", WalkKind),
            models.UniqueConstraint(fields=["job", "kind"], name="intake_walk_once_a_kind"),
            models.CheckConstraint(
                name="intake_walk_finished_when_blind",
                condition=Q(finished_at__isnull=True) | Q(kind=WalkKind.SECOND),
                violation_error_message="Only a blind walk is finished by a press.",
            ),
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
    """One cosmetic flaw, on a face or on a loose part. Its number in the drawing stays its own for the whole job.

    A pin says where on its photo it is, in thousandths of the photo's width and height.
    """

    walk = models.ForeignKey(Walk, models.PROTECT, related_name="marks")
    number = models.PositiveSmallIntegerField()
    face = fields.word(Face, blank=True)
    zone = fields.word(Zone, blank=True)
    loose_part = models.ForeignKey(LoosePart, models.PROTECT, null=True, blank=True, related_name="marks")
    kind = fields.word(MarkKind)
    size_mm = fields.decimal(6, 1, null=False)
    shows = fields.word(Shows)
    photo = models.ForeignKey(Photo, models.PROTECT, null=True, blank=True, related_name="marks")
    pin_x_permille = models.PositiveSmallIntegerField(null=True, blank=True)
    pin_y_permille = models.PositiveSmallIntegerField(null=True, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    mended_at = models.DateTimeField(null=True, blank=True)
    mended_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True, help_text="Taken back: it was a slip.")
    withdrawn_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("face", Face, blank=True),
            one_of("zone", Zone, blank=True),
            one_of("kind", MarkKind),
            one_of("shows", Shows),
            paired("mended"),
            paired("withdrawn"),
            models.CheckConstraint(name="intake_mark_size_mm_above_zero", condition=Q(size_mm__gt=0)),
            models.CheckConstraint(
                name="intake_mark_on_a_face_or_a_loose_part",
                condition=(~Q(face="") & Q(loose_part__isnull=True)) | Q(face="", zone="", loose_part__isnull=False),
                violation_error_message="A mark is on a face or on a loose part, one of the two.",
            ),
            models.CheckConstraint(
                name="intake_mark_pin_on_its_photo",
                condition=Q(pin_x_permille__isnull=True, pin_y_permille__isnull=True)
                | Q(
                    photo__isnull=False,
                    pin_x_permille__isnull=False,
                    pin_y_permille__isnull=False,
                    pin_x_permille__lte=1000,
                    pin_y_permille__lte=1000,
                ),
                violation_error_message="A pin is a place on the mark's own photo.",
            ),
            models.UniqueConstraint(fields=["walk", "number"], name="intake_mark_number_once_a_walk"),
        ]

    def __str__(self) -> str:
        return f"mark {self.number}"
