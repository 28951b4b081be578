"""Where Find finds a machine by words of intake: seller, what the seller said, findings, marks."""

from collections.abc import Collection

from intake import zones
from intake.models import Finding, Mark, Purchase
from intake.words import WalkKind, Zone
from workshop.core import search
from workshop.core.models import Job
from workshop.core.search import Text
from workshop.core.words import FoundIn
from workshop.trade.condition.scoring import Face, MarkKind


def _sellers(job_ids: Collection[int]) -> dict[int, Text]:
    rows = Purchase.objects.filter(job_id__in=job_ids, seller__isnull=False)
    return {job: Text(name, pk) for job, name, pk in rows.values_list("job_id", "seller__name", "seller_id")}


def _said(job_ids: Collection[int]) -> dict[int, Text]:
    rows = Purchase.objects.filter(job_id__in=job_ids).exclude(said="").values_list("job_id", "said")
    return {job: Text(said) for job, said in rows}


def _findings(job_ids: Collection[int]) -> dict[int, Text]:
    rows = Finding.objects.filter(job_id__in=job_ids).order_by("pk").values_list("job_id", "words", "end_words")
    return search.joined([(job, f"{words} {end}") for job, words, end in rows])


def _marks(job_ids: Collection[int]) -> dict[int, Text]:
    rows = Mark.objects.filter(walk__job_id__in=job_ids, withdrawn_at__isnull=True).exclude(walk__kind=WalkKind.SECOND)
    seen = rows.order_by("pk").values_list("walk__job_id", "face", "zone", "loose_part__words", "kind")
    return search.joined([(job, _mark(face, zone, part, kind)) for job, face, zone, part, kind in seen])


def _mark(face: str, zone: str, loose_part: str | None, kind: str) -> str:
    where = zones.where(Face(face), Zone(zone) if zone else "") if face else loose_part
    return f"{where} {MarkKind(kind).label}"


READERS: dict[FoundIn, search.Reader] = {
    FoundIn.SELLER: _sellers,
    FoundIn.SAID: _said,
    FoundIn.FINDING: _findings,
    FoundIn.MARK: _marks,
}


def refresh(job: Job, *sources: FoundIn) -> None:
    """Read these words of intake again (all, when none is named). Call it inside an act."""
    search.refresh(job, READERS, *sources)
