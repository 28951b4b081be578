"""The address under which a buyer reads, before agreeing, what is not as new."""

from typing import Any

from django.db import models

from handover.words import Language
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import Job, User


class ToldLink(models.Model):
    """What one buyer is shown before agreeing, frozen when the address was made: reading it dates exactly that.

    It names nobody and shows no price. `content` holds marks (id, number, words, photo), left and not_tested.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="told_links")
    token = models.CharField(max_length=64, unique=True)
    content = models.JSONField()
    language = fields.word(Language, default=Language.EN)
    expires_on = models.DateField(help_text="The last day the page opens.")
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [one_of("language", Language), paired("withdrawn")]

    def __str__(self) -> str:
        return f"What a buyer reads of {self.job.machine}"

    @property
    def marks(self) -> list[dict[str, Any]]:
        """The marks shown, with the store's address of each photo."""
        marks: list[dict[str, Any]] = self.content["marks"]
        return marks
