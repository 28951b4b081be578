"""Machines and their jobs, with sign-offs and waits. A station is derived from facts, never stored."""

from django.db import models
from django.db.models import Q
from django.db.models.functions import Upper
from django.urls import reverse

from workshop.core import fields, words
from workshop.core.constraints import one_of, paired
from workshop.core.models.notes import ModelNotes
from workshop.core.models.people import User
from workshop.core.models.shop import Place
from workshop.trade.safety.electrical import ApplianceClass


class Machine(models.Model):
    """One physical unit, known by two plain words for ever."""

    name = models.CharField(max_length=40, unique=True)
    slug = models.SlugField(max_length=40, unique=True)
    stock_number = models.PositiveIntegerField(unique=True)
    notes = models.ForeignKey(ModelNotes, models.PROTECT, related_name="machines")
    serial = models.CharField(max_length=40, blank=True)
    serial_unreadable = models.BooleanField(default=False)
    finish = models.CharField(max_length=40, blank=True)
    volts = models.PositiveSmallIntegerField(null=True, blank=True)
    watts = models.PositiveIntegerField(null=True, blank=True)
    appliance_class = fields.word(ApplianceClass, default=ApplianceClass.CLASS_I.value)
    cord_length_m = fields.decimal(4, 2)
    cord_section_mm2 = fields.decimal(4, 2)
    plug = models.CharField(max_length=20, blank=True)
    fuse_a = models.PositiveSmallIntegerField(null=True, blank=True)
    date_code = models.CharField(max_length=24, blank=True)
    cycle_count = models.PositiveIntegerField(null=True, blank=True)
    place = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="machines")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [one_of("appliance_class", ApplianceClass)]
        indexes = [models.Index(Upper("serial"), name="core_machine_serial_folded")]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """Return the address of the Machine page."""
        return reverse("machine", args=[self.slug])

    @property
    def serial_words(self) -> str:
        """The serial as papers print it; that it cannot be read only where somebody said so."""
        return self.serial or ("cannot be read" if self.serial_unreadable else "not recorded")


class JobQuerySet(models.QuerySet["Job"]):
    """Jobs as pages ask for them."""

    def for_page(self) -> "JobQuerySet":
        """Load what every machine page needs beside the job."""
        return self.select_related("machine__notes", "machine__place")

    def at_our_cost(self) -> "JobQuerySet":
        """Keep the returns that a warranty pays for: by a fault, or by a cause nobody has named yet."""
        return self.filter(kind=words.JobKind.CAME_BACK, cause__in=("", words.ReturnCause.FAULT))

    def open(self) -> "JobQuerySet":
        """Keep jobs that have not ended."""
        return self.filter(closed_at__isnull=True)


class Job(models.Model):
    """One passage of a machine through the workshop. Its stations are derived, never stored."""

    machine = models.ForeignKey(Machine, models.PROTECT, related_name="jobs")
    kind = fields.word(words.JobKind, default=words.JobKind.REFURBISH)
    first_job = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="returns")
    complaint = models.TextField(blank=True, help_text="In the buyer's words, when it came back.")
    cause = fields.word(words.ReturnCause, blank=True)
    cause_words = models.CharField(max_length=200, blank=True)
    opened_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    closed_as = fields.word(words.ClosedAs, blank=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        constraints = [
            one_of("kind", words.JobKind),
            one_of("cause", words.ReturnCause, blank=True),
            one_of("closed_as", words.ClosedAs, blank=True),
            paired("closed"),
            models.UniqueConstraint(
                fields=["machine"], condition=Q(closed_at__isnull=True), name="core_job_one_open_a_machine"
            ),
        ]
        indexes = [models.Index(fields=["closed_as"], name="core_job_closed_as")]

    def __str__(self) -> str:
        return f"{self.machine}, {self.get_kind_display().lower()}"


class Signoff(models.Model):
    """A person's word that a station is finished, with the facts it rested on. Withdrawn, never deleted."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="signoffs")
    station = models.CharField(max_length=16)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    facts = models.JSONField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            paired("withdrawn"),
            models.UniqueConstraint(
                fields=["job", "station"],
                condition=Q(withdrawn_at__isnull=True),
                name="core_signoff_one_standing",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.station} by {self.by}"


class Wait(models.Model):
    """What a machine waits for: who must move, and when to look again."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="waits")
    station = models.CharField(max_length=16)
    kind = fields.word(words.WaitFor)
    what = models.CharField(max_length=120)
    who = models.CharField(max_length=60, blank=True)
    since_on = models.DateField()
    look_again_on = models.DateField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [one_of("kind", words.WaitFor), paired("ended")]

    def __str__(self) -> str:
        return self.what
