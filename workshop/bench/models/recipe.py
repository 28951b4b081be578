"""The recipe proved on one machine."""

from django.db import models

from workshop.bench.models.shots import Shot
from workshop.bench.words import TimedFrom, WhoseGrinder
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import Job, User


class Recipe(models.Model):
    """The settings proved on this very unit: frozen from shots in a row that agree. The newest standing counts.

    `first_shot` and `second_shot` are the first and the last of that run; grams and seconds are the last one's.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="recipes")
    first_shot = models.ForeignKey(Shot, models.PROTECT, related_name="+")
    second_shot = models.ForeignKey(Shot, models.PROTECT, related_name="+")
    coffee = models.CharField(max_length=130, blank=True)
    roasted_on = models.DateField(null=True, blank=True)
    grinder = fields.word(WhoseGrinder, default=WhoseGrinder.BUILT_IN)
    grind_setting = models.CharField(max_length=40, blank=True, help_text="In the scale's words; empty on our grinder.")
    basket = models.CharField(max_length=60, blank=True)
    dose_g = fields.grams(null=False)
    dose_tolerance_g = fields.grams(null=False)
    portions = models.PositiveSmallIntegerField(default=1)
    selector = models.CharField(max_length=60, blank=True, help_text="Like: two cups, by hand.")
    dose_dial = models.CharField(max_length=40, blank=True)
    tamp_cue = models.CharField(max_length=80, blank=True)
    lock_in = models.CharField(max_length=40, blank=True)
    yield_g = fields.grams(null=False)
    yield_low_g = fields.grams(null=False)
    yield_high_g = fields.grams(null=False)
    time_s = fields.seconds(null=False)
    first_time_s = fields.seconds(null=False)
    time_low_s = fields.seconds(null=False)
    time_high_s = fields.seconds(null=False)
    timed_from = fields.word(TimedFrom, default=TimedFrom.PUMP_ON)
    gauge_zone = models.CharField(max_length=60, blank=True)
    ready_low_min = fields.decimal(5, 1)
    ready_high_min = fields.decimal(5, 1)
    ready_measured = models.BooleanField(default=False)
    blank_shots = models.PositiveSmallIntegerField(null=True, blank=True)
    steam_ready_s = fields.seconds()
    back_to_coffee_s = fields.seconds()
    back_to_coffee = models.CharField(max_length=200, blank=True)
    left_set_at = models.CharField(max_length=40, blank=True)
    set_at = models.DateTimeField()
    set_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            paired("set"),
            paired("struck"),
            one_of("grinder", WhoseGrinder),
            one_of("timed_from", TimedFrom),
        ]

    def __str__(self) -> str:
        return f"{self.dose_g.normalize():f} g in, {self.yield_g.normalize():f} g out, {self.both_times} s"

    @property
    def both_times(self) -> str:
        """Say the seconds of its first and its last shot, once where they are the same."""
        return " and ".join(dict.fromkeys(f"{time.normalize():f}" for time in (self.first_time_s, self.time_s)))

    @property
    def time_words(self) -> str:
        """Say what its seconds are: counted from the pump, or from the first drip."""
        return "pump time" if self.timed_from == TimedFrom.PUMP_ON else "from first drip"

    @property
    def built_in_grinder(self) -> bool:
        """Say whether the machine's own grinder ground: only then may its number be copied from the sheet."""
        return bool(self.grinder == WhoseGrinder.BUILT_IN)
