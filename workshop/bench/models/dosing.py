"""What the grinder and the buttons of a machine give, weighed; and the grinder being opened."""

from django.db import models

from workshop.bench.models.corrections import Corrected
from workshop.bench.words import ButtonKind, RunsWith
from workshop.core import fields
from workshop.core.constraints import at_least, one_of
from workshop.core.models import Job, User


class DoseTrial(Corrected):
    """One weighed dose of the built-in grinder: how long or at which mark, in how many portions, the grams in all."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="dose_trials")
    length = fields.decimal(7, 3, null=False, help_text="Of each portion, on the scale the dose is set on.")
    length_words = models.CharField(max_length=40)
    portions = models.PositiveSmallIntegerField(default=1)
    topped_up = models.BooleanField(default=False, help_text="True: more was held in by hand; kept out of the fit.")
    dose_g = fields.grams(null=False)
    grind_words = models.CharField(max_length=40, help_text="Where the burrs stood, in the grinder's words.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [at_least("portions", 1), at_least("dose_g", 0)]

    def __str__(self) -> str:
        return f"{self.length_words} gave {self.dose_g.normalize():f} g"


class ButtonTrial(Corrected):
    """One run of a taught button, weighed. The button's own words are kept: model notes may be written anew."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="button_trials")
    button = models.CharField(max_length=60)
    kind = fields.word(ButtonKind)
    runs_with = fields.word(RunsWith)
    taught_anew = models.BooleanField(default=False, help_text="True: taught just before; earlier runs are over.")
    delivered_g = fields.grams(null=False)
    grind_words = models.CharField(max_length=40, blank=True, help_text="Where the burrs stood; empty with water.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [one_of("kind", ButtonKind), one_of("runs_with", RunsWith), at_least("delivered_g", 0)]

    def __str__(self) -> str:
        return f"{self.button} gave {self.delivered_g.normalize():f} g"


class BurrChange(Corrected):
    """The grinder was opened: burrs out, or set inside. Its marks mean something else from then on."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="burr_changes")
    why = models.CharField(max_length=120)
    inner_before = models.CharField(max_length=40)
    inner_after = models.CharField(max_length=40)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"Grinder opened: {self.why}"
