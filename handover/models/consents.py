"""A buyer's recorded consent to care reminders."""

from django.db import models
from django.db.models import Q

from handover.words_after import ConsentHow
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import Person, User


class Consent(models.Model):
    """That a person agreed to care reminders by e-mail: on which day, how, recorded by whom, until withdrawn."""

    person = models.ForeignKey(Person, models.PROTECT, related_name="consents")
    given_on = models.DateField()
    how = fields.word(ConsentHow)
    at = models.DateTimeField()
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            one_of("how", ConsentHow),
            paired("withdrawn"),
            models.UniqueConstraint(
                fields=["person"], condition=Q(withdrawn_at__isnull=True), name="handover_consent_one_standing"
            ),
        ]

    def __str__(self) -> str:
        return "Agreed to care reminders"
