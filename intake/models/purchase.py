"""How the workshop came by a machine, and what the recall registers said."""

from typing import ClassVar

from django.db import models

from intake.models.lot import Lot
from intake.words import RecallFound
from workshop.core import fields
from workshop.core.constraints import at_least, one_of
from workshop.core.models import Job, Person, User
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
    hold_source = models.CharField(max_length=200, blank=True, help_text="Where the hold was read, as it stood.")
    lot = models.ForeignKey(Lot, models.PROTECT, null=True, blank=True, related_name="purchases")
    lot_weight_minor = fields.money(help_text="What it should fetch, when its lot is shared out by that.")
    said = models.TextField(blank=True, help_text="What the seller said about it.")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("tax_rule", TaxRule),
            at_least("price_minor", 0),
            at_least("lot_weight_minor", 0),
        ]

    def __str__(self) -> str:
        return f"Purchase of {self.job.machine}"


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
