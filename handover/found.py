"""Where Find finds a machine by its buyer, of the sale that stands, and by what its buyers wrote."""

from collections.abc import Collection

from handover.models import BuyerMessage
from workshop.core import search
from workshop.core.models import Job
from workshop.core.search import Text
from workshop.core.words import FoundIn
from workshop.pricing.models import Sale


def _buyers(job_ids: Collection[int]) -> dict[int, Text]:
    rows = Sale.objects.filter(job_id__in=job_ids, cancelled_at__isnull=True)
    return {job: Text(name, pk) for job, name, pk in rows.values_list("job_id", "buyer__name", "buyer_id")}


def _wrote(job_ids: Collection[int]) -> dict[int, Text]:
    rows = BuyerMessage.objects.filter(link__job_id__in=job_ids).select_related("link").order_by("pk")
    return search.joined([(row.link.job_id, row.told) for row in rows])


READERS: dict[FoundIn, search.Reader] = {FoundIn.BUYER: _buyers, FoundIn.WROTE: _wrote}


def refresh(job: Job) -> None:
    """Read the buyer and what was written again. Call it inside an act."""
    search.refresh(job, READERS)
