"""The sheet of one machine, composed from what was measured, done, told and agreed. Nothing typical, no blanks."""

from dataclasses import dataclass, field
from typing import Any

from intake import pages as intake_pages
from intake.words import FindingEnd
from workshop.bench import pages as bench_pages
from workshop.core.models import Counter, Job


@dataclass(frozen=True, slots=True)
class Telling:
    """What a buyer is told before agreeing."""

    marks: list[dict[str, Any]] = field(default_factory=list)
    left: list[str] = field(default_factory=list)
    not_tested: list[str] = field(default_factory=list)


def to_tell(job: Job) -> Telling:
    """Return every mark that stands, every finding left, every test not made."""
    marks = [
        {"id": mark.pk, "number": mark.number, "words": intake_pages.mark_words(mark)}
        for mark in intake_pages.marks(job)
        if intake_pages.is_now(mark)
    ]
    left = [
        f"{row.words}: {row.end_words}"
        for row in job.findings.filter(end=FindingEnd.LEFT).order_by("pk")
    ]
    return Telling(marks, left, list(bench_pages.not_measured(job)))


def next_number() -> int:
    """Return the number the next sheet would get."""
    last = Counter.objects.filter(name="sheet").values_list("last", flat=True).first()
    return (last or 0) + 1


def goes_with(job: Job) -> list[str]:
    """Return the loose parts that came, as a first list of what goes with the machine."""
    return [row.words for row in job.loose_parts.filter(counted__gt=0).order_by("pk")]


def is_dated(job: Job) -> bool:
    """Say whether the care calendar can carry dates: a collection day is agreed."""
    return job.reservations.filter(cancelled_at__isnull=True, collect_on__isnull=False).exists()


def sheet(job: Job, **_: Any) -> Any:
    """Compose the sheet. (Frame only.)"""
    raise NotImplementedError
