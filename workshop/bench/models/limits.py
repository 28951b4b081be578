"""The workshop's own limits, and what the proving of one machine goes by."""

from django.db import models
from django.db.models import Q

from intake.models import Photo
from workshop.bench.models.corrections import Corrected
from workshop.bench.words import BasisOf, OwnMeasure
from workshop.core import fields
from workshop.core.constraints import one_of
from workshop.core.models import Job, User
from workshop.trade.safety.electrical import OwnLimit


class LimitRow(Corrected):
    """A limit of our own on one measure, either end or both. The newest row of a profile and measure counts.

    `profile` is empty for the bands of the bench, which hold in any place. Shares are in percent.
    """

    profile = models.CharField(max_length=24, blank=True)
    measure = fields.word(OwnMeasure)
    low = fields.reading()
    high = fields.reading()
    reason = models.CharField(max_length=120, blank=True, help_text="Why it may be wider than the place's limit.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("measure", OwnMeasure),
            models.CheckConstraint(
                name="bench_limitrow_has_an_end",
                condition=Q(low__isnull=False) | Q(high__isnull=False),
                violation_error_message="A limit needs a lowest or a highest figure.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_measure_display()}, {self.words}"

    @property
    def own(self) -> OwnLimit:
        """Return the limit as the trade compares it."""
        return OwnLimit(self.low, self.high, self.reason)

    @property
    def words(self) -> str:
        """Say the limit: "0.1 ohm or less"."""
        return OwnMeasure(self.measure).limit_words(self.low, self.high)


class ProveBasis(Corrected):
    """What the proving of one machine goes by, from a moment on; of each kind the newest row that stands counts.

    LIMITS: the profile in its version, and our own limits as they stood `at`. FULL_SET: why the full set is asked.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="prove_bases")
    what = fields.word(BasisOf)
    profile = models.CharField(max_length=24, blank=True)
    profile_version = models.PositiveSmallIntegerField(null=True, blank=True)
    because = models.CharField(max_length=120, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("what", BasisOf),
            models.CheckConstraint(
                name="bench_provebasis_says_which",
                condition=Q(what="LIMITS", profile_version__isnull=False, because="") & ~Q(profile="")
                | Q(what="FULL_SET", profile="", profile_version__isnull=True) & ~Q(because=""),
                violation_error_message="Limits need a profile and its version, a full set its reason.",
            ),
        ]

    def __str__(self) -> str:
        return self.because or f"limits of {self.profile}, version {self.profile_version}"


class ItemPhoto(models.Model):
    """A photo that shows one item of a card. It goes when the photo itself is taken back."""

    append_only = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="item_photos")
    item = models.CharField(max_length=40)
    photo = models.ForeignKey(Photo, models.PROTECT, related_name="items")

    def __str__(self) -> str:
        return f"{self.item}: {self.photo}"
