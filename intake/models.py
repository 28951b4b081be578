"""Rows of intake: how a machine was bought, how it looked, what came with it, what was wrong."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from intake.words import FindingEnd, NothingOf, PhotoFor, RecallFound, WalkKind, Zone
from workshop.core import fields
from workshop.core.constraints import at_least, one_of, paired
from workshop.core.models import Job, Machine, Person, User
from workshop.trade.condition.scoring import Face, MarkKind, Shows
from workshop.trade.money.tax import TaxRule


class Purchase(models.Model):
    """How the workshop came by a machine. The tax rule is the shop's on that day; the hold follows the place."""

    job = models.OneToOneField(Job, models.PROTECT, related_name="purchase")
    seller = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="purchases")
    price_minor = fields.money(null=False)
    acquired_on = models.DateField()
    bought_at = models.CharField(max_length=80, blank=True)
    payment_method = models.CharField(max_length=40, blank=True)
    tax_rule = fields.word(TaxRule, default=TaxRule.NONE.value)
    hold_until_on = models.DateField(null=True, blank=True, help_text="First day on which it may be sold.")
    hold_blocks_work = models.BooleanField(default=False)
    hold_words = models.CharField(max_length=240, blank=True)
    said = models.TextField(blank=True, help_text="What the seller said about it.")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [one_of("tax_rule", TaxRule), at_least("price_minor", 0)]

    def __str__(self) -> str:
        return f"Purchase of {self.job.machine}"


class Nothing(models.Model):
    """An answer that is "nothing": the seller said nothing, nothing was found, nothing came with it."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="nothings")
    what = fields.word(NothingOf)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("what", NothingOf),
            models.UniqueConstraint(fields=["job", "what"], name="intake_nothing_once_a_question"),
        ]

    def __str__(self) -> str:
        return self.get_what_display()


class RecallCheck(models.Model):
    """One look into the recall registers, on a day, by a person."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="recall_checks")
    looked_on = models.DateField()
    registers = models.TextField(help_text="One a line, as they were named on that day.")
    found = fields.word(RecallFound)
    note = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [one_of("found", RecallFound)]

    def __str__(self) -> str:
        return self.get_found_display()


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


class LoosePart(models.Model):
    """A part that is not fixed to the machine, counted as it arrived. Zero says that it should be there and is not."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="loose_parts")
    words = models.CharField(max_length=80)
    counted = models.PositiveSmallIntegerField()
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    version = models.PositiveIntegerField(default=1)

    def __str__(self) -> str:
        return self.words


class Finding(models.Model):
    """Something that does not work as found: it ends as mended, not seen again, or left."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="findings")
    words = models.CharField(max_length=200)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    end = fields.word(FindingEnd, default=FindingEnd.OPEN)
    end_words = models.CharField(max_length=200, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("end", FindingEnd),
            paired("ended"),
            models.CheckConstraint(
                name="intake_finding_open_until_ended",
                condition=Q(end="OPEN", ended_at__isnull=True) | (~Q(end="OPEN") & Q(ended_at__isnull=False)),
                violation_error_message="A finding is open until it has an end.",
            ),
        ]

    def __str__(self) -> str:
        return self.words
