"""A film of the machine being shown: where it is, of which day, what it shows."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from handover.cue_words import Cue
from workshop.core.constraints import any_of
from workshop.core.models import Job, User

LONGEST = 120  # a longer address makes a code too fine to read off paper at 30 mm. House policy.


class Film(models.Model):
    """One film, kept by its address. The newest row of a job counts; an empty address takes the film back."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="films")
    address = models.CharField(max_length=LONGEST, blank=True, help_text="Whole, with https.")
    filmed_on = models.DateField(null=True, blank=True)
    shows = models.CharField(max_length=80, blank=True, help_text="Codes of the cue cards it shows, spaces between.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            any_of("shows", Cue),
            models.CheckConstraint(
                name="handover_film_https_and_day_or_taken_back",
                condition=Q(address__startswith="https://", filmed_on__isnull=False)
                | Q(address="", filmed_on__isnull=True, shows=""),
                violation_error_message="A film has an https address and a day.",
            ),
        ]

    def __str__(self) -> str:
        return "A film" if self.address else "No film"

    @property
    def codes(self) -> list[str]:
        """Return what it shows, as codes of the cue cards, in their order."""
        said = self.shows.split()
        return [code for code in Cue.values if code in said]
