"""The days on which care of sold machines falls due, and the reminders of them."""

from django.db import models

from handover.words_after import ReminderState
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import Job, User


class CareDate(models.Model):
    """One day on which one task of a sold machine falls due; derived from its newest sheet, laid anew with each.

    `job` is the sale. A row a day keeps "due this week" one look into an index, however many machines were sold.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="care_dates")
    code = models.CharField(max_length=40, help_text="Of the task, in workshop.trade.care.")
    due_on = models.DateField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["job", "code", "due_on"], name="handover_caredate_once"),
        ]
        indexes = [models.Index(fields=["due_on"], name="handover_caredate_due")]

    def __str__(self) -> str:
        return f"{self.code}, {self.due_on}"


class CareReminder(models.Model):
    """The one reminder of all care of a machine that falls due on a day. Sent at most once: the row is the proof."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="care_reminders")
    due_on = models.DateField()
    state = fields.word(ReminderState, default=ReminderState.QUEUED)
    tries = models.PositiveSmallIntegerField(default=0)
    next_try_at = models.DateTimeField(null=True, blank=True)
    why = models.CharField(max_length=200, blank=True, help_text="Why it did not go out. Never an address.")
    queued_at = models.DateTimeField()
    queued_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    changed_at = models.DateTimeField(help_text="When its state was last changed.")

    class Meta:
        constraints = [
            one_of("state", ReminderState),
            paired("queued"),
            models.UniqueConstraint(fields=["job", "due_on"], name="handover_carereminder_once"),
        ]
        indexes = [models.Index(fields=["state", "next_try_at"], name="handover_reminder_queue")]

    def __str__(self) -> str:
        return str(self.get_state_display())
