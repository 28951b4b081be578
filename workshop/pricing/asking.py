"""Asking prices. (Frame only; the room fills it.)"""

from collections.abc import Collection


def prices(job_ids: Collection[int]) -> dict[int, int]:
    """Return the standing asking price of each job that has one, in minor units."""
    return {}
