"""What another workshop wrote of a machine: its word, never one of our readings."""

from django.db import models
from django.db.models import Q

from workshop.core.constraints import paired
from workshop.core.models import Machine, User


class EarlierRecord(models.Model):
    """A machine record that was read in. Nothing of it counts for any station; a wrong one is taken back."""

    machine = models.ForeignKey(Machine, models.PROTECT, related_name="earlier_records")
    workshop = models.CharField(max_length=130, help_text="As it calls itself.")
    written_on = models.DateField()
    sha256 = models.CharField(max_length=64, help_text="Of what was read.")
    intact = models.BooleanField(help_text="False: it states another hash, so it was changed after it was written.")
    differs = models.JSONField(default=list, help_text="What did not agree with this machine, in sentences.")
    record = models.JSONField(help_text="The part `record` of the file; its shape is held by the schema.")
    read_at = models.DateTimeField()
    read_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            paired("read"),
            paired("withdrawn"),
            models.UniqueConstraint(
                fields=["machine", "sha256"],
                condition=Q(withdrawn_at__isnull=True),
                name="intake_earlierrecord_read_once",
            ),
        ]

    def __str__(self) -> str:
        return f"Record of {self.workshop}"
