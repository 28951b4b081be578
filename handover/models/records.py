"""The machine record issued with a sheet."""

from typing import ClassVar

from django.db import models

from handover.models.sheets import Sheet


class MachineRecord(models.Model):
    """The file of one issued sheet's machine record, as it was on that day. It names nobody."""

    append_only: ClassVar[bool] = True

    sheet = models.OneToOneField(Sheet, models.PROTECT, related_name="record")
    text = models.TextField(help_text="Canonical JSON; its shape: workshop/core/machine_record/schema.json.")

    def __str__(self) -> str:
        return f"The record of sheet {self.sheet_id}"
