"""What was decided about a machine, and why, with the numbers it rested on."""

from typing import ClassVar

from django.db import models

from workshop.core import fields
from workshop.core.constraints import at_least, one_of
from workshop.core.models import Job, User
from workshop.trade.money.ways import Way


class Decision(models.Model):
    """Mend, strip, pass on or give back: who chose, when, why, and what they thought then. The newest one stands."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="decisions")
    way = fields.word(Way)
    because = models.CharField(max_length=200)
    minutes = models.PositiveIntegerField(help_text="Still to come, as thought then: passed, the question comes again.")
    parts_minor = fields.money(null=False, default=0)
    price_minor = fields.money()
    in_ten = models.PositiveSmallIntegerField(null=True, blank=True, help_text="How often in ten it comes right.")
    strip_minor = fields.money()
    strip_minutes = models.PositiveIntegerField(default=0)
    pass_on_minor = fields.money()
    give_back_minor = fields.money()
    net_minor = fields.money(help_text="What the chosen way was thought to leave.")
    worked_minutes = models.PositiveIntegerField(help_text="Worked before the decision.")
    failed = models.JSONField(default=list, help_text="Ids of the failed readings of stop items known then.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    corrects = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="corrected_by")
    struck = models.BooleanField(default=False)

    class Meta:
        constraints = [
            one_of("way", Way),
            at_least("parts_minor", 0),
            at_least("price_minor", 0),
            at_least("strip_minor", 0),
            at_least("pass_on_minor", 0),
            at_least("give_back_minor", 0),
            models.CheckConstraint(
                name="pricing_decision_in_ten_between_0_and_10",
                condition=models.Q(in_ten__isnull=True) | models.Q(in_ten__gte=0, in_ten__lte=10),
                violation_error_message="in_ten lies between 0 and 10.",
            ),
        ]
        indexes = [models.Index(fields=["job", "-at"], name="pricing_decision_job_at")]

    def __str__(self) -> str:
        return Way(self.way).label
