"""Rows that are never changed: taking one back is a new row that names it."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

STANDS = Q(struck=False, corrected_by__isnull=True)


class Corrected(models.Model):
    """A row kept for ever. `struck` rows count for nothing, nor does the row they name: keep those that `STANDS`."""

    append_only: ClassVar[bool] = True

    corrects = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="corrected_by")
    struck = models.BooleanField(default=False)

    class Meta:
        abstract = True
