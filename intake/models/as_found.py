"""What a machine did, or did not do, when it was first looked at; and the bag it may have to wait in."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from intake.words import AsFoundAnswer, AsFoundItem
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import Job, User


class AsFoundQuerySet(models.QuerySet["AsFound"]):
    """Answers as pages ask for them."""

    def current(self) -> "AsFoundQuerySet":
        """Keep answers that were neither changed nor taken back, in the order given."""
        return self.filter(struck=False, corrected_by__isnull=True).order_by("at", "pk")


class AsFound(models.Model):
    """One answer of the as-found card. Answering again is a new row that names the one before."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="as_found")
    item = fields.word(AsFoundItem)
    answer = fields.word(AsFoundAnswer)
    said = models.CharField(max_length=60, help_text="The answer as its button said it.")
    words = models.CharField(max_length=120, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    corrects = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="corrected_by")
    struck = models.BooleanField(default=False)

    objects = AsFoundQuerySet.as_manager()

    class Meta:
        constraints = [
            one_of("item", AsFoundItem),
            one_of("answer", AsFoundAnswer),
            # The first answer of an item stands alone; every later one names the one before it.
            models.UniqueConstraint(
                fields=["job", "item"], condition=Q(corrects__isnull=True), name="intake_asfound_one_first_an_item"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.said}: {self.words}" if self.words else self.said


class SeenRunning(models.Model):
    """What a person saw the machine do at the seller's. It is told, and it proves nothing."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="seen_running")
    items = models.JSONField(help_text="Items of the as-found card, by their codes.")
    said = models.CharField(max_length=240, help_text="The same in words, as it was said then.")
    seen_on = models.DateField()
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    corrects = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="corrected_by")
    struck = models.BooleanField(default=False)

    def __str__(self) -> str:
        return self.said


class Bag(models.Model):
    """A machine kept apart in a closed bag until a person says that it is clean."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="bags")
    why = models.CharField(max_length=200)
    bagged_at = models.DateTimeField()
    bagged_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    cleared_at = models.DateTimeField(null=True, blank=True)
    cleared_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    cleared_words = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            paired("bagged"),
            paired("cleared"),
            models.UniqueConstraint(
                fields=["job"], condition=Q(cleared_at__isnull=True), name="intake_bag_one_open_a_job"
            ),
        ]

    def __str__(self) -> str:
        return self.why
