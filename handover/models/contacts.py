"""Notes of calls and messages about a machine."""

from django.db import models

from handover.models.buyers import BuyerMessage
from handover.words_after import ContactHow, ContactWith
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import Job, Machine, Person, User
from workshop.core.words import small


class ContactNote(models.Model):
    """A call or message about a machine: what was asked, what was answered, on which day, kept by whom.

    The words may hold personal data: they never enter the journal, and are emptied when their person is erased.
    """

    machine = models.ForeignKey(Machine, models.PROTECT, related_name="contact_notes")
    job = models.ForeignKey(Job, models.PROTECT, related_name="contact_notes")
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="contact_notes")
    message = models.ForeignKey(BuyerMessage, models.PROTECT, null=True, blank=True, related_name="notes")
    how = fields.word(ContactHow)
    with_whom = fields.word(ContactWith, default=ContactWith.BUYER)
    happened_on = models.DateField()
    asked = models.TextField(blank=True)
    answered = models.TextField(blank=True, help_text="Empty while it waits for an answer.")
    at = models.DateTimeField()
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [one_of("how", ContactHow), one_of("with_whom", ContactWith), paired("withdrawn")]

    def __str__(self) -> str:
        return f"{self.get_how_display()} with {small(str(self.get_with_whom_display()))}"
