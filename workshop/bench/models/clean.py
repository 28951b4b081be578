"""Cleaning, descaling, rinsing and the flush after descaling."""

from django.db import models

from workshop.bench.models.corrections import Corrected
from workshop.bench.words import Cleaned, Path
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import Instrument, Job, User
from workshop.core.templatetags.measures import number
from workshop.trade.water.descaling import Agent


class CleanLine(Corrected):
    """One thing cleaned, or left because. The newest line of a thing counts."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="clean_lines")
    what = fields.word(Cleaned)
    because = models.CharField(max_length=120, blank=True, help_text="Why it was left; empty when cleaned.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [one_of("what", Cleaned)]

    def __str__(self) -> str:
        return f"{self.get_what_display()}: {self.because or 'cleaned'}"


class DescaleRun(models.Model):
    """One fill of acid: grams and capacity were computed when it was logged."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="descale_runs")
    agent = fields.word(Agent)
    strength_percent = fields.decimal(4, 1, null=False)
    volume_l = fields.litres(null=False)
    minutes = models.PositiveSmallIntegerField()
    acid_g = fields.grams(null=False)
    capacity_g = fields.grams(null=False)
    as_usual = models.BooleanField(default=False)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [one_of("agent", Agent), paired("struck")]

    def __str__(self) -> str:
        return f"{number(self.volume_l)} L of {number(self.strength_percent)} % {Agent(self.agent).label}"


class Rinse(models.Model):
    """Litres run through one path, beside the litres that were computed for it."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="rinses")
    path = fields.word(Path)
    volume_l = fields.litres(null=False)
    needed_l = fields.litres(null=False)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [one_of("path", Path), paired("struck")]

    def __str__(self) -> str:
        return f"Rinsed {self.get_path_display().lower()}, {number(self.volume_l)} L"


class ResidualCheck(Corrected):
    """Acid left in the last rinse, from a pH reading against the feed water."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="residual_checks")
    agent = fields.word(Agent)
    feed_alkalinity_mg_l = fields.decimal(6, 1, null=False)
    feed_ph = fields.decimal(4, 2, null=False)
    sample_ph = fields.decimal(4, 2, null=False)
    residual_mg_l = fields.decimal(8, 2, null=False)
    detects_mg_l = fields.decimal(8, 2, null=False)
    limit_mg_l = fields.decimal(6, 1, null=False)
    passed = models.BooleanField()
    instrument = models.ForeignKey(Instrument, models.PROTECT, null=True, blank=True, related_name="+")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [one_of("agent", Agent)]

    def __str__(self) -> str:
        return f"Residual acid {number(self.residual_mg_l)} mg/L"


class LeadFlush(Corrected):
    """The flush after descaling, and the first cups poured away: no litre figure is published, so none is judged."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="lead_flushes")
    volume_l = fields.litres(null=False)
    stood_hours = models.PositiveSmallIntegerField(default=0, help_text="How long it stood full before the flush.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"Flushed {number(self.volume_l)} L after descaling"
