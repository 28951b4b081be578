"""What is kept for ever: the journal, and readings with the limit as it stood."""

from datetime import datetime
from decimal import Decimal
from typing import ClassVar

from django.db import models
from django.utils import timezone

from workshop.core import fields, words
from workshop.core.constraints import one_of
from workshop.core.models.machines import Job, Machine
from workshop.core.models.people import User
from workshop.core.models.shop import Instrument


class JournalEntry(models.Model):
    """Who did what, when, before and after. `key` is the form's: a double press meets its own entry."""

    append_only: ClassVar[bool] = True

    # NULL, not "": only keys of forms must be unique.
    key = models.CharField(max_length=64, null=True, unique=True, default=None)  # noqa: DJ001
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    verb = models.CharField(max_length=40)
    area = fields.word(words.Area)
    sentence = models.CharField(max_length=300)
    job = models.ForeignKey(Job, models.PROTECT, null=True, related_name="journal")
    machine = models.ForeignKey(Machine, models.PROTECT, null=True, related_name="journal")
    subject = models.CharField(max_length=60, help_text="App, model and id, like 'core.place:4'.")
    before = models.JSONField(default=dict)
    after = models.JSONField(default=dict)

    class Meta:
        constraints = [one_of("area", words.Area)]
        indexes = [models.Index(fields=["job", "-at"], name="core_journal_job_at")]

    def __str__(self) -> str:
        return self.sentence


class OutsideReport(models.Model):
    """A dated report of a tester from outside: it stands for the electrical readings that name it."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="outside_reports")
    measured_on = models.DateField()
    measured_at = models.TimeField(null=True, blank=True, help_text="Asked for on the day the case was last shut.")
    who = models.CharField(max_length=80, help_text="The tester, or the firm.")
    number = models.CharField(max_length=40, blank=True, help_text="As it stands on the report.")
    passed = models.BooleanField()
    words = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"report {self.number} by {self.who}" if self.number else f"report by {self.who}"


class Reading(models.Model):
    """One measured value or observed state, with the limit as it stood. A correction is a new row."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="readings")
    card = models.CharField(max_length=24)
    item = models.CharField(max_length=40)
    title = models.CharField(max_length=80)
    value = fields.reading()
    value_to = fields.reading(help_text="The far end, when a series is recorded as a range.")
    series = models.JSONField(
        default=list, blank=True, help_text="Every value of a series as typed, in order, as text."
    )
    inputs = models.JSONField(default=dict, blank=True, help_text="What a computed value rests on: name to value.")
    sign = models.CharField(max_length=1, blank=True, choices=[(">", "over"), ("<", "under")])
    state = models.CharField(max_length=60, blank=True, help_text="What was seen, when no number is read.")
    unit = models.CharField(max_length=12, blank=True)
    outcome = fields.word(words.Outcome)
    limit_low = fields.reading()
    limit_high = fields.reading()
    limit_words = models.CharField(max_length=80, blank=True)
    edition = models.CharField(max_length=300, blank=True)
    source = models.CharField(max_length=300, blank=True)
    instrument = models.ForeignKey(Instrument, models.PROTECT, null=True, blank=True, related_name="+")
    calibration_due_on = models.DateField(null=True, blank=True, help_text="The instrument's, as it stood.")
    test_volts = models.PositiveSmallIntegerField(null=True, blank=True)
    test_current_a = fields.decimal(5, 2)
    leads_nulled = models.BooleanField(default=False)
    lead_ohm = fields.reading(help_text="Leads and extension cord, taken off what the meter showed.")
    warmth = fields.word(words.Warmth, blank=True)
    own_limit = models.CharField(max_length=240, blank=True, help_text="How our own limit changed the place's.")
    report = models.ForeignKey(OutsideReport, models.PROTECT, null=True, blank=True, related_name="readings")
    reason = models.CharField(max_length=200, blank=True)
    note = models.CharField(max_length=200, blank=True)
    second_look = models.BooleanField(default=False, help_text="Read again beside the newest first reading.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField(help_text="When it was entered.")
    read_at = models.DateTimeField(null=True, blank=True, help_text="When it was read, where it was entered later.")
    corrects = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="corrected_by")
    struck = models.BooleanField(default=False)

    class Meta:
        constraints = [one_of("outcome", words.Outcome), one_of("warmth", words.Warmth, blank=True)]
        indexes = [models.Index(fields=["job", "item", "-at"], name="core_reading_job_item_at")]

    def __str__(self) -> str:
        if self.state or self.value is None:
            return f"{self.title}: {self.state or self.reason}"
        found = _as_written(self.value)
        if self.value_to is not None:
            found = f"{found} to {_as_written(self.value_to)}"
        sign = {">": "over ", "<": "under "}.get(self.sign, "")
        return f"{self.title}: {sign}{found} {self.unit}".strip()

    @property
    def done_at(self) -> datetime:
        """Return when it was read: as said in a late entry, else when it was entered."""
        return self.read_at or self.at

    @property
    def shown_value(self) -> Decimal | None:
        """Return what the meter showed: the value judged and the leads that were taken off it."""
        value: Decimal | None = self.value
        leads: Decimal | None = self.lead_ohm
        return value + leads if value is not None and leads is not None else value

    @property
    def overdue(self) -> bool:
        """Say whether the instrument's calibration had run out on the day of the reading."""
        due = self.calibration_due_on
        return due is not None and due < timezone.localtime(self.done_at).date()


def _as_written(value: Decimal) -> str:
    """Return a number as people write it: 2, not 2.0000, and 1,600, not 1600."""
    return f"{value.normalize():,f}"
