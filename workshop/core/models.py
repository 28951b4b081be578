"""The rows every room shares: people, the workshop, models, machines, jobs, sign-offs, waits, the journal."""

from decimal import Decimal
from typing import ClassVar

from django.contrib.auth.models import AbstractUser
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse

from workshop.core import fields, words
from workshop.core.constraints import at_least, one_of, paired
from workshop.trade.money.tax import TaxRule
from workshop.trade.safety.electrical import ApplianceClass
from workshop.trade.scales import ScaleKind


class User(AbstractUser):
    """A person who signs in."""

    role = fields.word(words.Role, default=words.Role.TECHNICIAN)
    bench_pin = models.CharField(max_length=128, blank=True, help_text="Hashed; for a shared tablet.")

    class Meta:
        constraints = [one_of("role", words.Role)]

    @property
    def is_owner(self) -> bool:
        """Say whether this person may see prices and change the workshop."""
        return bool(self.role == words.Role.OWNER)

    def __str__(self) -> str:
        return self.first_name or self.username


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
    paper = fields.word(words.Paper, default=words.Paper.A4)
    warranty_months = models.PositiveSmallIntegerField(default=12)
    warranty_words = models.TextField(blank=True)
    hardness_mmol_l = fields.decimal(6, 3)
    alkalinity_mg_l = fields.decimal(6, 1)
    feed_ph = fields.decimal(4, 2)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("tax_rule", TaxRule),
            one_of("paper", words.Paper),
            at_least("hardness_mmol_l", 0),
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
    retired = models.BooleanField(default=False)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [one_of("kind", words.InstrumentKind)]

    def __str__(self) -> str:
        return self.name


class Place(models.Model):
    """A spot where a machine can stand."""

    name = models.CharField(max_length=40, unique=True)

    def __str__(self) -> str:
        return self.name


class Person(models.Model):
    """A seller, buyer or supplier. The journal names which fields changed, never what they held."""

    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    address = models.CharField(max_length=300, blank=True)
    note = models.TextField(blank=True)
    version = models.PositiveIntegerField(default=1)

    def __str__(self) -> str:
        return self.name


class ModelNotes(models.Model):
    """What holds for every unit of a model. Maker, model and kind are enough; the rest can be learnt."""

    maker = models.CharField(max_length=60)
    model = models.CharField(max_length=80)
    kind = fields.word(words.Kind)
    brew_boiler_l = fields.litres()
    steam_boiler_l = fields.litres()
    boiler_metal = fields.word(words.Metal, blank=True)
    pump = fields.word(words.Pump, default=words.Pump.VIBRATORY)
    has_three_way_valve = models.BooleanField(default=False)
    has_steam = models.BooleanField(default=True)
    has_hot_water = models.BooleanField(default=True)
    has_filter = models.BooleanField(default=False)
    has_gauge = models.BooleanField(default=False)
    gauge_from = models.CharField(max_length=24, blank=True, help_text="Clock words, like '10 o'clock'.")
    gauge_to = models.CharField(max_length=24, blank=True)
    has_surge_parts = models.BooleanField(default=False)
    volts = models.PositiveSmallIntegerField(null=True, blank=True)
    watts = models.PositiveIntegerField(null=True, blank=True)
    appliance_class = fields.word(ApplianceClass, default=ApplianceClass.CLASS_I.value)
    cord_length_m = fields.decimal(4, 2)
    cord_section_mm2 = fields.decimal(4, 2)
    fuse_a = models.PositiveSmallIntegerField(null=True, blank=True)
    mass_kg = fields.decimal(5, 1)
    has_grinder = models.BooleanField(default=False)
    grind_scale = fields.word(ScaleKind, blank=True)
    grind_low = fields.decimal(6, 2)
    grind_high = fields.decimal(6, 2)
    grind_step = fields.decimal(5, 2)
    grind_finer = models.CharField(
        max_length=6, blank=True, choices=[("LOWER", "a lower number"), ("HIGHER", "a higher number")]
    )
    dose_scale = fields.word(ScaleKind, blank=True)
    timed_button = models.BooleanField(null=True, blank=True, help_text="True: timed; False: metered; empty: none.")
    basket_mm = fields.decimal(4, 1)
    baskets = models.TextField(blank=True, help_text="One per line: 'Double | 16 to 18 g, one wall'.")
    dose_g = fields.grams()
    yield_g = fields.grams()
    time_low_s = fields.seconds()
    time_high_s = fields.seconds()
    warm_up_low_min = models.PositiveSmallIntegerField(null=True, blank=True)
    warm_up_high_min = models.PositiveSmallIntegerField(null=True, blank=True)
    ready_sign = models.CharField(max_length=120, blank=True)
    blank_shots = models.PositiveSmallIntegerField(null=True, blank=True)
    back_to_coffee = models.CharField(max_length=200, blank=True)
    teach_button = models.CharField(max_length=200, blank=True)
    tamp_cue = models.CharField(max_length=80, blank=True)
    loose_parts = models.TextField(blank=True, help_text="What belongs with it, one per line.")
    descale_agent = models.CharField(max_length=24, blank=True)
    descale_strength_percent = fields.decimal(4, 1)
    descale_litres = fields.litres()
    descale_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    usual_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    care_overrides = models.JSONField(default=dict, blank=True)
    note = models.TextField(blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["maker", "model"], name="core_modelnotes_maker_and_model_once"),
            one_of("kind", words.Kind),
            one_of("pump", words.Pump),
            one_of("boiler_metal", words.Metal, blank=True),
            one_of("appliance_class", ApplianceClass),
            one_of("grind_scale", ScaleKind, blank=True),
            one_of("dose_scale", ScaleKind, blank=True),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.model}"


class Control(models.Model):
    """A knob, lever or button of a model: what it says, where it is, what it does."""

    notes = models.ForeignKey(ModelNotes, models.CASCADE, related_name="controls")
    use = fields.word(words.ControlUse)
    label = models.CharField(max_length=60)
    place = models.CharField(max_length=60, blank=True)

    class Meta:
        constraints = [one_of("use", words.ControlUse)]

    def __str__(self) -> str:
        return self.label


class SealPosition(models.Model):
    """A seal of a model: wear seals are answered one by one, inside seals 'not disturbed' in one press."""

    notes = models.ForeignKey(ModelNotes, models.CASCADE, related_name="seals")
    name = models.CharField(max_length=60)
    wears = models.BooleanField(default=True)
    is_group = models.BooleanField(default=False)
    size = models.CharField(max_length=40, blank=True)
    material = models.CharField(max_length=20, blank=True)

    def __str__(self) -> str:
        return self.name


class SafetyPart(models.Model):
    """A cut-out or safety valve of a model, looked at before the lid goes on."""

    notes = models.ForeignKey(ModelNotes, models.CASCADE, related_name="safety_parts")
    name = models.CharField(max_length=60)
    rating = models.CharField(max_length=40, blank=True)

    def __str__(self) -> str:
        return self.name


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

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """Return the address of the Machine page."""
        return reverse("machine", args=[self.slug])


class JobQuerySet(models.QuerySet["Job"]):
    """Jobs as pages ask for them."""

    def for_page(self) -> "JobQuerySet":
        """Load what every machine page needs beside the job."""
        return self.select_related("machine__notes", "machine__place")

    def open(self) -> "JobQuerySet":
        """Keep jobs that have not ended."""
        return self.filter(closed_at__isnull=True)


class Job(models.Model):
    """One passage of a machine through the workshop. Its stations are derived, never stored."""

    machine = models.ForeignKey(Machine, models.PROTECT, related_name="jobs")
    kind = fields.word(words.JobKind, default=words.JobKind.REFURBISH)
    first_job = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="returns")
    complaint = models.TextField(blank=True, help_text="In the buyer's words, when it came back.")
    opened_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    closed_as = fields.word(words.ClosedAs, blank=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        constraints = [
            one_of("kind", words.JobKind),
            one_of("closed_as", words.ClosedAs, blank=True),
            paired("closed"),
            models.UniqueConstraint(
                fields=["machine"], condition=Q(closed_at__isnull=True), name="core_job_one_open_a_machine"
            ),
        ]

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


class Reading(models.Model):
    """One measured value or observed state, with the limit as it stood. A correction is a new row."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="readings")
    card = models.CharField(max_length=24)
    item = models.CharField(max_length=40)
    title = models.CharField(max_length=80)
    value = fields.reading()
    value_to = fields.reading(help_text="The far end, when a series is recorded as a range.")
    sign = models.CharField(max_length=1, blank=True, choices=[(">", "over"), ("<", "under")])
    state = models.CharField(max_length=60, blank=True, help_text="What was seen, when no number is read.")
    unit = models.CharField(max_length=12, blank=True)
    outcome = fields.word(words.Outcome)
    limit_low = fields.reading()
    limit_high = fields.reading()
    limit_words = models.CharField(max_length=80, blank=True)
    edition = models.CharField(max_length=120, blank=True)
    source = models.CharField(max_length=120, blank=True)
    instrument = models.ForeignKey(Instrument, models.PROTECT, null=True, blank=True, related_name="+")
    test_volts = models.PositiveSmallIntegerField(null=True, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    note = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    corrects = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="corrected_by")
    struck = models.BooleanField(default=False)

    class Meta:
        constraints = [one_of("outcome", words.Outcome)]
        indexes = [models.Index(fields=["job", "item", "-at"], name="core_reading_job_item_at")]

    def __str__(self) -> str:
        return f"{self.title}: {self.value if self.value is not None else self.state} {self.unit}".strip()


class Counter(models.Model):
    """A gapless running number: compare-and-set inside the transaction that uses it."""

    name = models.CharField(max_length=24, unique=True)
    last = models.PositiveIntegerField(default=0, validators=[MinValueValidator(0)])

    def __str__(self) -> str:
        return f"{self.name}: {self.last}"
