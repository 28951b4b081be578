"""Coffee and test shots."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from workshop.core import fields
from workshop.core.constraints import at_least
from workshop.core.models import Job, User


class Coffee(models.Model):
    """A bag of coffee the workshop proves with: plain words, roast, roast date where it is known."""

    words = models.CharField(max_length=80)
    roast_words = models.CharField(max_length=40, blank=True)
    roasted_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            # Two, not one with NULLS NOT DISTINCT: SQLite has no such constraint.
            models.UniqueConstraint(fields=["words", "roast_words", "roasted_on"], name="bench_coffee_once_a_roast"),
            models.UniqueConstraint(
                fields=["words", "roast_words"], condition=Q(roasted_on__isnull=True), name="bench_coffee_once_undated"
            ),
        ]

    def __str__(self) -> str:
        return ", ".join(part for part in (self.words, self.roast_words) if part)


class ShotQuerySet(models.QuerySet["Shot"]):
    """Shots as pages ask for them."""

    def current(self) -> "ShotQuerySet":
        """Keep shots that were not taken out, in the order pulled."""
        return self.filter(struck=False, corrected_by__isnull=True).order_by("number", "pk")


class Shot(models.Model):
    """One test extraction. Taking one out is a new row that names it."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="shots")
    number = models.PositiveIntegerField()
    coffee = models.ForeignKey(Coffee, models.PROTECT, null=True, blank=True, related_name="shots")
    built_in_grinder = models.BooleanField(
        default=True, help_text="False: our own grinder; its number is never printed."
    )
    setting = fields.decimal(7, 3, help_text="On the grinder's own scale; empty where it is words only.")
    setting_words = models.CharField(max_length=40)
    dose_g = fields.grams(null=False)
    yield_g = fields.grams(null=False)
    time_s = fields.seconds(null=False)
    basket = models.CharField(max_length=60, blank=True)
    pressurised = models.BooleanField(default=False)
    spoilt = models.BooleanField(default=False)
    why_spoilt = models.CharField(max_length=80, blank=True)
    note = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    corrects = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="corrected_by")
    struck = models.BooleanField(default=False)

    objects = ShotQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["job", "number"], condition=Q(corrects__isnull=True), name="bench_shot_one_of_a_number"
            ),
            at_least("dose_g", 0),
            at_least("yield_g", 0),
            at_least("time_s", 0),
        ]

    def __str__(self) -> str:
        return f"Shot {self.number}"
