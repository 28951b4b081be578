"""Model notes: what holds for every unit of a model, with its controls, seals and safety parts."""

from django.db import models

from workshop.core import fields, words
from workshop.core.constraints import one_of
from workshop.trade.safety.electrical import ApplianceClass
from workshop.trade.scales import ScaleKind


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
    boiler_watts = models.PositiveIntegerField(null=True, blank=True, help_text="The element that makes the steam.")
    pump_watts = models.PositiveSmallIntegerField(null=True, blank=True)
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
