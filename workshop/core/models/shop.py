"""The workshop itself: its facts, instruments, places and running numbers."""

from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models

from workshop.core import fields, words
from workshop.core.constraints import at_least, one_of
from workshop.trade.money.tax import TaxRule
from workshop.trade.safety.records import RECALL_AGAIN_DAYS


class Shop(models.Model):
    """The workshop itself: one row. A tax rule of NONE means that no page shows a tax field."""

    name = models.CharField(max_length=80)
    tagline = models.CharField(max_length=120, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.CharField(max_length=200, blank=True)
    country = models.CharField(max_length=6, help_text="ISO 3166 code, with a state where rules differ (AU-VIC).")
    currency = models.CharField(max_length=3, default="GBP")
    tax_rule = fields.word(TaxRule, default=TaxRule.NONE.value)
    tax_number = models.CharField(max_length=30, blank=True)
    profile = models.CharField(max_length=24, help_text="Code of the electrical profile in workshop.trade.safety.")
    hourly_rate_minor = fields.money(null=False, default=0)
    overhead_minor_per_h = fields.money(null=False, default=0)
    selling_fee_percent = fields.decimal(5, 2, null=False, default=Decimal(0))
    payment_fee_percent = fields.decimal(5, 2, null=False, default=Decimal(0))
    fixed_fee_minor = fields.money(null=False, default=0)
    profit_wanted_minor = fields.money(null=False, default=0)
    mean_claim_minor = fields.money(null=False, default=0)
    full_set_from_minor = fields.money(help_text="An asking price from here on asks for the full proving set.")
    paper = fields.word(words.Paper, default=words.Paper.A4)
    warranty_months = models.PositiveSmallIntegerField(default=12)
    warranty_words = models.TextField(blank=True)
    hardness_mmol_l = fields.decimal(6, 3)
    alkalinity_mg_l = fields.decimal(6, 1)
    feed_ph = fields.decimal(4, 2)
    recall_again_days = models.PositiveSmallIntegerField(
        default=int(RECALL_AGAIN_DAYS.value), help_text="After so many days recall registers are asked again."
    )
    tag_width_mm = fields.decimal(4, 1, null=False, default=Decimal(60))
    tag_height_mm = fields.decimal(4, 1, null=False, default=Decimal(40))
    tag_gap_across_mm = fields.decimal(3, 1, null=False, default=Decimal(0), help_text="Between labels of one sheet.")
    tag_gap_down_mm = fields.decimal(3, 1, null=False, default=Decimal(0))
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("tax_rule", TaxRule),
            one_of("paper", words.Paper),
            at_least("hardness_mmol_l", 0),
            at_least("tag_width_mm", 50),
            at_least("tag_height_mm", 30),
            at_least("tag_gap_across_mm", 0),
            at_least("tag_gap_down_mm", 0),
        ]

    def __str__(self) -> str:
        return self.name


class Instrument(models.Model):
    """A measuring instrument the workshop owns."""

    kind = fields.word(words.InstrumentKind)
    name = models.CharField(max_length=80)
    serial = models.CharField(max_length=40, blank=True)
    calibration_due_on = models.DateField(null=True, blank=True)
    pass_fail_only = models.BooleanField(default=False)
    set_limit = fields.reading(help_text="What a pass/fail tester is set to, in the unit of its kind.")
    retired = models.BooleanField(default=False)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [one_of("kind", words.InstrumentKind), at_least("set_limit", 0)]

    def __str__(self) -> str:
        return self.name

    @property
    def set_unit(self) -> str:
        """Return the unit of the set limit; empty where the kind cannot be a pass/fail tester."""
        return words.PASS_FAIL_UNITS.get(words.InstrumentKind(self.kind), "")


class Place(models.Model):
    """A spot where a machine can stand: a shelf holds several, a spot at the bench only one."""

    name = models.CharField(max_length=40, unique=True)
    holds_several = models.BooleanField(default=True, help_text="False: a second machine there is asked about.")
    retired = models.BooleanField(default=False, help_text="No machine stands there and none is offered it.")
    version = models.PositiveIntegerField(default=1)

    def __str__(self) -> str:
        return self.name


class Counter(models.Model):
    """A gapless running number: compare-and-set inside the transaction that uses it."""

    name = models.CharField(max_length=24, unique=True)
    last = models.PositiveIntegerField(default=0, validators=[MinValueValidator(0)])

    def __str__(self) -> str:
        return f"{self.name}: {self.last}"
