"""Prepared rows of intake. (Frame only; the room fills it.)"""

from typing import Any

from workshop.core.models import Job


def marks_section(job: Job) -> Any:
    """Return the rows of Marks."""
    return None


def photos_section(job: Job) -> Any:
    """Return the rows of Photos."""
    return None
