"""Machines that came back: which check should have caught it, and what may be answered."""

from collections.abc import Collection

from workshop.bench.facts import prove
from workshop.bench.models import Escape
from workshop.bench.models.corrections import STANDS
from workshop.core.models import Job
from workshop.core.words import JobKind, ReturnCause


def answers(job_ids: Collection[int]) -> dict[int, Escape]:
    """Return the standing answer of each job that has one. One query."""
    rows = Escape.objects.filter(STANDS, job_id__in=job_ids).select_related("by").order_by("pk")
    return {row.job_id: row for row in rows}


def asked(job: Job) -> bool:
    """Say whether the question is for this job: no check of ours can catch a change of mind, carriage or a recall."""
    return bool(job.kind == JobKind.CAME_BACK and job.cause in ("", ReturnCause.FAULT))


def checks(job: Job) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return the items of the earlier job's cards as code and title, card by card."""
    earlier = job.first_job_id or job.pk
    facts = prove.facts([earlier])[earlier]
    return [(card.title, [(item.code, item.title) for item in card.items]) for card in facts.every_card]
