"""Prepared rows of the bench. (Frame only; the room fills it.)"""

from typing import Any

from workshop.core.models import Job


def readings_section(job: Job) -> Any:
    """Return the rows of What we measured."""
    return None


def work_section(job: Job) -> Any:
    """Return the rows of Work and parts."""
    return None


def coffee_section(job: Job) -> Any:
    """Return the figures of Coffee."""
    return None
