"""The reservation as the side strip and This morning show it. (Frame only; the room fills it.)"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from workshop.core.models import Job


@dataclass(frozen=True, slots=True)
class Reserved:
    """Who a machine is kept for, and until when."""

    buyer: str
    collect_on: date | None


def reserved(job_ids: Collection[int]) -> dict[int, Reserved]:
    """Return the standing reservations, by job."""
    return {}


def reservation(job: Job) -> dict[str, Any] | None:
    """Return the strip's block: buyer, lines of (label, value, heavy), words, url."""
    return None
