"""The discipline of the bench: a place kept, a draw, a quiet question answered, what a check missed or never caught."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from workshop.bench.models.corrections import Corrected
from workshop.bench.words import Missed, PauseStep
from workshop.core import fields
from workshop.core.constraints import one_of
from workshop.core.models import Job, Reading, User


class Pause(Corrected):
    """A place kept on a card, and the return to it. The newest row of a job counts."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="pauses")
    step = fields.word(PauseStep)
    card = models.CharField(max_length=24)
    item = models.CharField(max_length=40)
    title = models.CharField(max_length=80)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [one_of("step", PauseStep)]

    def __str__(self) -> str:
        return f"{self.get_step_display()} {self.title}"


class SpotCheck(models.Model):
    """The draw of one unit, kept when its first reading is recorded: drawn or not, and which readings to repeat."""

    append_only: ClassVar[bool] = True

    job = models.OneToOneField(Job, models.PROTECT, related_name="spot_check")
    drawn = models.BooleanField()
    first_item = models.CharField(max_length=40, blank=True)
    second_item = models.CharField(max_length=40, blank=True)
    alone = models.BooleanField(help_text="One person signs in here: the same person repeats it on another day.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_items_when_drawn",
                condition=Q(drawn=False, first_item="", second_item="") | (Q(drawn=True) & ~Q(first_item="")),
                violation_error_message="A drawn unit names its readings; another names none.",
            )
        ]

    def __str__(self) -> str:
        return "drawn for a spot-check" if self.drawn else "not drawn"

    @property
    def items(self) -> tuple[str, ...]:
        """The codes of the readings to repeat."""
        return tuple(code for code in (self.first_item, self.second_item) if code)


class TempoAnswer(Corrected):
    """Somebody's word that answers given fast were looked at: up to the last of them on that card."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="tempo_answers")
    last = models.ForeignKey(Reading, models.PROTECT, related_name="+")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"looked at, says {self.by}"


class Escape(Corrected):
    """Which check should have caught why a machine came back. The newest answer of a job counts."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="escapes")
    missed = fields.word(Missed)
    item = models.CharField(max_length=40, blank=True)
    title = models.CharField(max_length=80, blank=True)
    words = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("missed", Missed),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_item_when_a_check",
                condition=(Q(missed="CHECK") & ~Q(item="")) | (~Q(missed="CHECK") & Q(item="")),
                violation_error_message="A check is named by its item; another answer names none.",
            ),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_words_when_no_check",
                condition=~Q(missed="NO_CHECK") | ~Q(words=""),
                violation_error_message="No check we have needs words.",
            ),
        ]

    def __str__(self) -> str:
        return self.title or self.get_missed_display().lower()


class ItemRemoval(models.Model):
    """An item this workshop asks no longer, or asks again. The newest row of an item counts."""

    append_only: ClassVar[bool] = True

    item = models.CharField(max_length=40)
    title = models.CharField(max_length=80)
    removed = models.BooleanField()
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.title}: {'asked no longer' if self.removed else 'asked again'}"
