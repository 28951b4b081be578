"""Machines looked at and not bought yet, with the most to pay as it was worked out."""

from django.db import models
from django.db.models import Q

from workshop.core import fields, words
from workshop.core.constraints import at_least, one_of, paired
from workshop.core.models import Job, ModelNotes, User
from workshop.trade.money.tax import TaxRule


class Sighting(models.Model):
    """A machine looked at before buying: what was typed, and the answer with its lines as they stood then.

    It ends bought (`job`) or dropped with a reason. Who sells it is kept here until it is
    bought, or 30 days after it was dropped.
    """

    notes = models.ForeignKey(ModelNotes, models.PROTECT, null=True, blank=True, related_name="sightings")
    maker = models.CharField(max_length=60, blank=True)
    model = models.CharField(max_length=80, blank=True)
    kind = fields.word(words.Kind)
    asked_minor = fields.money(help_text="What the seller asks.")
    seller_name = models.CharField(max_length=120, blank=True)
    seller_phone = models.CharField(max_length=40, blank=True)
    said = models.TextField(blank=True, help_text="What was seen, and what the seller said.")
    price_minor = fields.money(null=False, help_text="What it should sell for.")
    minutes = models.PositiveIntegerField()
    parts_minor = fields.money(null=False, default=0)
    profit_minor = fields.money(null=False)
    not_mended_percent = fields.decimal(4, 1, null=False)
    salvage_minor = fields.money(null=False, default=0, help_text="What its parts bring when it is not mended.")
    tax_rule = fields.word(TaxRule)
    bid_minor = fields.money(help_text="The most to pay; empty where there is no such price.")
    no_price = models.CharField(max_length=200, blank=True, help_text="Why there is none, in a sentence.")
    breakdown = models.JSONField(help_text="The sums by name, each line by line: [code, words, minor units].")
    worked_out_at = models.DateTimeField()
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    job = models.OneToOneField(Job, models.PROTECT, null=True, blank=True, related_name="sighting")
    dropped_because = models.CharField(max_length=200, blank=True)
    dropped_at = models.DateTimeField(null=True, blank=True)
    dropped_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("kind", words.Kind),
            one_of("tax_rule", TaxRule),
            at_least("asked_minor", 0),
            at_least("price_minor", 0),
            at_least("parts_minor", 0),
            at_least("profit_minor", 0),
            at_least("salvage_minor", 0),
            at_least("bid_minor", 0),
            paired("dropped"),
            models.CheckConstraint(
                name="pricing_sighting_percent_of_a_hundred",
                condition=Q(not_mended_percent__gte=0, not_mended_percent__lte=100),
                violation_error_message="A chance lies between 0 and 100 in 100.",
            ),
            models.CheckConstraint(
                name="pricing_sighting_has_notes_or_a_name",
                condition=Q(notes__isnull=False) | (~Q(maker="") & ~Q(model="")),
                violation_error_message="It wants model notes, or maker and model.",
            ),
            models.CheckConstraint(
                name="pricing_sighting_answered",
                condition=Q(bid_minor__isnull=False, no_price="") | (Q(bid_minor__isnull=True) & ~Q(no_price="")),
                violation_error_message="It has a most to pay, or the sentence why there is none.",
            ),
            models.CheckConstraint(
                name="pricing_sighting_dropped_in_words",
                condition=Q(dropped_at__isnull=True, dropped_because="")
                | (Q(dropped_at__isnull=False, job__isnull=True) & ~Q(dropped_because="")),
                violation_error_message="A machine that is not bought after all wants the reason in words.",
            ),
        ]
        indexes = [models.Index(fields=["-at"], name="pricing_sighting_at")]

    def __str__(self) -> str:
        return str(self.notes) if self.notes else f"{self.maker} {self.model}"
