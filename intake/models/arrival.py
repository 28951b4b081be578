"""What came with a machine, and what did not work."""

from django.db import models
from django.db.models import Q

from intake.models.as_found import AsFound
from intake.words import FindingEnd, NothingOf, WallKind
from workshop.core import fields
from workshop.core.constraints import at_least, one_of, paired
from workshop.core.models import Job, User


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


class LoosePart(models.Model):
    """A part that is not fixed to the machine, counted as it arrived. Zero says that it should be there and is not.

    A basket says its width and its walls as well, where they were looked at.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="loose_parts")
    words = models.CharField(max_length=80)
    counted = models.PositiveSmallIntegerField()
    basket_mm = fields.decimal(4, 1)
    walls = fields.word(WallKind, blank=True, default="")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [at_least("basket_mm", 1), one_of("walls", WallKind, blank=True)]

    def __str__(self) -> str:
        return self.words


class Finding(models.Model):
    """Something that does not work as found: it ends as mended, not seen again, or left."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="findings")
    words = models.CharField(max_length=200)
    answer = models.OneToOneField(
        AsFound, models.PROTECT, null=True, blank=True, related_name="finding", help_text="Empty: noted by hand."
    )
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
