"""Where Find finds a machine by words of the bench: work done, why the case was opened."""

from collections.abc import Collection

from workshop.bench.models import CaseOpening, WorkDone
from workshop.core import search
from workshop.core.models import Job
from workshop.core.search import Text
from workshop.core.words import FoundIn


def _work(job_ids: Collection[int]) -> dict[int, Text]:
    done = WorkDone.objects.filter(job_id__in=job_ids, struck_at__isnull=True).order_by("pk")
    opened = CaseOpening.objects.standing().filter(job_id__in=job_ids).order_by("pk")
    return search.joined([*done.values_list("job_id", "what"), *opened.values_list("job_id", "why")])


READERS: dict[FoundIn, search.Reader] = {FoundIn.WORK: _work}


def refresh(job: Job) -> None:
    """Read the words of the bench again. Call it inside an act."""
    search.refresh(job, READERS)
