"""Prepared rows of money. (Frame only; the room fills it.)"""

from typing import Any

from workshop.core.models import Job


def money_section(job: Job) -> Any:
    """Return the rows of Money."""
    return None
