"""Coffee and test shots."""

from datetime import date
from typing import ClassVar

from django.db import models
from django.db.models import Q, Value
from django.db.models.functions import Coalesce

from workshop.bench import words
from workshop.core import fields
from workshop.core.constraints import any_of, at_least, one_of
from workshop.core.models import Job, User

NO_DAY = date(1, 1, 1)  # stands for a day that is not known, so that two undated bags are one


class Coffee(models.Model):
    """A bag of coffee the workshop proves with: plain words, roast, and the days it was roasted and opened."""

    words = models.CharField(max_length=80)
    roast_words = models.CharField(max_length=40, blank=True)
    roasted_on = models.DateField(null=True, blank=True)
    opened_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            # Coalesce, not NULLS NOT DISTINCT: SQLite has no such constraint.
            models.UniqueConstraint(
                "words",
                "roast_words",
                Coalesce("roasted_on", Value(NO_DAY)),
                Coalesce("opened_on", Value(NO_DAY)),
                name="bench_coffee_once_a_bag",
            )
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
    first_drip_s = fields.seconds()
    tds_percent = fields.decimal(5, 2, help_text="Strength of the cup, percent by mass.")
    gauge_bar = fields.decimal(4, 1)
    gauge_from = models.CharField(max_length=24, blank=True, help_text="Clock words, where the gauge has no numbers.")
    gauge_to = models.CharField(max_length=24, blank=True, help_text="Empty: the needle stood still.")
    flow = fields.word(words.Flow, blank=True)
    crema = fields.word(words.Crema, blank=True)
    spouts = fields.word(words.Spouts, blank=True)
    tastes = models.CharField(max_length=80, blank=True, help_text="Codes of Taste, spaces between them.")
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
            at_least("first_drip_s", 0),
            at_least("tds_percent", 0),
            at_least("gauge_bar", 0),
            one_of("flow", words.Flow, blank=True),
            one_of("crema", words.Crema, blank=True),
            one_of("spouts", words.Spouts, blank=True),
            any_of("tastes", words.Taste),
        ]

    def __str__(self) -> str:
        return f"Shot {self.number}"
