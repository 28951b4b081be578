"""Files from before this book, and which row of them became which job."""

from typing import ClassVar

from django.db import models

from workshop.core import fields
from workshop.core.constraints import at_least, one_of, paired
from workshop.core.models import Job, User
from workshop.core.words import Kind
from workshop.desk.words import Past


class PastFile(models.Model):
    """A file that was read, with its cells as text until it is brought in or swept. Nothing is uploaded twice."""

    kind = fields.word(Past)
    name = models.CharField(max_length=120)
    headings = models.JSONField(default=list)
    rows = models.JSONField(default=list, help_text="[row in the file, [cells]]; emptied once brought in or swept.")
    row_count = models.PositiveIntegerField()
    said = models.JSONField(default=list, help_text="What reading it had to assume, in sentences.")
    columns = models.JSONField(null=True, blank=True, help_text="Our field to the column of the file.")
    month_first = models.BooleanField(default=False)
    new_kind = fields.word(Kind, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    brought_at = models.DateTimeField(null=True, blank=True)
    brought_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [one_of("kind", Past), one_of("new_kind", Kind, blank=True), paired("brought")]

    def __str__(self) -> str:
        return self.name


class PastRow(models.Model):
    """A row of a file that came in. Its key is what the same row is known by when the file comes again."""

    append_only: ClassVar[bool] = True

    file = models.ForeignKey(PastFile, models.PROTECT, related_name="came_in")
    number = models.PositiveIntegerField(help_text="Its row in the file.")
    key = models.CharField(max_length=64, unique=True)
    job = models.OneToOneField(Job, models.PROTECT, related_name="from_the_past")
    condition_score = fields.decimal(3, 1, help_text="As the old book says; never computed from marks.")

    class Meta:
        constraints = [at_least("condition_score", 0)]

    def __str__(self) -> str:
        return f"Row {self.number} of {self.file}"
