"""Costs beside parts and work, and asking prices."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from workshop.core import fields
from workshop.core.constraints import at_least, paired
from workshop.core.models import Job, User

# What stands of append-only rows: neither struck nor corrected by a later row.
CURRENT = Q(struck=False, corrected_by__isnull=True)


class ExtraCost(models.Model):
    """A cost that is neither a part nor work: postage, an outside test, a courier. Struck by a slip, never deleted."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="extra_costs")
    words = models.CharField(max_length=80)
    amount_minor = fields.money(null=False)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [at_least("amount_minor", 1), paired("struck")]

    def __str__(self) -> str:
        return self.words


class AskingPrice(models.Model):
    """A price asked, with the sum it rested on as it stood then. Once struck, the one before stands again."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="asking_prices")
    price_minor = fields.money(null=False)
    floor_minor = fields.money(null=False)
    profit_minor = fields.money(null=False)
    tax_minor = fields.money(null=False)
    cost_minor = fields.money(null=False, help_text="Paid, parts, work, overhead and extras; without the reserve.")
    reserve_minor = fields.money(null=False)
    breakdown = models.JSONField(help_text="The sum, line by line: [code, words, minor units].")
    below_floor_words = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    corrects = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="corrected_by")
    struck = models.BooleanField(default=False)

    class Meta:
        constraints = [
            at_least("price_minor", 0),
            models.CheckConstraint(
                name="pricing_askingprice_below_floor_in_words",
                condition=Q(price_minor__gte=models.F("floor_minor")) | ~Q(below_floor_words=""),
                violation_error_message="A price under the floor wants the reason in words.",
            ),
        ]
        indexes = [models.Index(fields=["job", "-at"], name="pricing_asking_job_at")]

    def __str__(self) -> str:
        return f"Asking price of {self.job.machine}"
