"""How a job ended otherwise than sold and proved, and the parts that came out of a stripped machine."""

from django.db import models
from django.db.models import Q

from workshop.core import fields
from workshop.core.constraints import at_least, one_of, paired
from workshop.core.models import Job, Person, User
from workshop.core.words import ClosedAs
from workshop.parts.models import Movement


class Ending(models.Model):
    """The end of a job: as what, why, with whom. Undone until the next day by withdrawing it."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="endings")
    closed_as = fields.word(ClosedAs)
    words = models.CharField(max_length=200, blank=True, help_text="Why, or what was agreed.")
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    money_minor = fields.money(help_text="Given back: what was paid back to us. Stripped: the value stated.")
    owed_words = models.CharField(max_length=200, blank=True, help_text="Who pays what when, if a balance is open.")
    paper = models.JSONField(default=dict, help_text="What its paper said on the day: title, lines, what was told.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            one_of("closed_as", ClosedAs),
            at_least("money_minor", 0),
            paired("withdrawn"),
            models.UniqueConstraint(
                fields=["job"], condition=Q(withdrawn_at__isnull=True), name="pricing_ending_one_standing_a_job"
            ),
        ]

    def __str__(self) -> str:
        return self.get_closed_as_display()


class PartOut(models.Model):
    """Pieces of one part that came out of a stripped machine into the drawer; `back` is the movement that undid it."""

    ending = models.ForeignKey(Ending, models.PROTECT, related_name="parts_out")
    movement = models.OneToOneField(Movement, models.PROTECT, related_name="came_out")
    back = models.OneToOneField(Movement, models.PROTECT, null=True, blank=True, related_name="came_out_undone")

    def __str__(self) -> str:
        return str(self.movement)
