"""The tellings of a job, prepared for the Hand over page: the one that the agreement rests on comes first."""

from dataclasses import dataclass

from handover.models import Reservation, Told
from workshop.core.models import Job
from workshop.core.templatetags.measures import day


@dataclass(frozen=True, slots=True)
class Telling:
    """One telling: how, when, by whom; and what it means for the agreement."""

    words: str
    meaning: str


def tellings(job: Job, agreement: Reservation | None) -> list[Telling]:
    """Return what the agreement rests on, then what was told after it; without an agreement the newest alone."""
    rows = list(Told.objects.filter(job=job).select_related("by").order_by("pk"))
    before = [row for row in rows if agreement is not None and row.at <= agreement.made_at]
    if not before:
        return [_telling(row, "") for row in rows[-1:]]
    after = [row for row in rows if row.pk > before[-1].pk]
    return [_telling(before[-1], "The agreement rests on this."), *(_telling(row, "Told again.") for row in after)]


def _telling(row: Told, meaning: str) -> Telling:
    who = f", {row.by}" if row.by else ""
    return Telling(f"{row.get_how_display()}, {day(row.at)}{who}.", meaning)
