"""What Find reads: a folded text for each job and source, and all of a job's in one row."""

from django.db import models

from workshop.core import fields
from workshop.core.constraints import one_of
from workshop.core.models.machines import Job
from workshop.core.models.people import Person
from workshop.core.words import FoundIn


class SearchEntry(models.Model):
    """The words of one job from one source, folded (no case, no accents). Derived: it can be made anew at any time.

    `person` is whose name it holds, so that a person who is renamed or erased is renamed or erased here too.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="search_entries")
    source = fields.word(FoundIn)
    folded = models.TextField()
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="search_entries")

    class Meta:
        constraints = [
            one_of("source", FoundIn),
            models.UniqueConstraint(fields=["job", "source"], name="core_searchentry_once_a_source"),
        ]

    def __str__(self) -> str:
        return f"{self.job_id}, {self.source}"


class SearchText(models.Model):
    """All folded words of one job in one row, a line an entry: what a question is held against, in one scan."""

    job = models.OneToOneField(Job, models.PROTECT, related_name="search_text")
    folded = models.TextField()

    def __str__(self) -> str:
        return f"{self.job_id}"
