"""Where Find finds a machine by its buyer: the standing reservation's."""

from collections.abc import Collection

from handover.models import Reservation
from workshop.core import search
from workshop.core.models import Job
from workshop.core.search import Text
from workshop.core.words import FoundIn


def _buyers(job_ids: Collection[int]) -> dict[int, Text]:
    rows = Reservation.objects.filter(job_id__in=job_ids, cancelled_at__isnull=True)
    return {job: Text(name, pk) for job, name, pk in rows.values_list("job_id", "buyer__name", "buyer_id")}


READERS: dict[FoundIn, search.Reader] = {FoundIn.BUYER: _buyers}


def refresh(job: Job) -> None:
    """Read the buyer again. Call it inside an act."""
    search.refresh(job, READERS)
