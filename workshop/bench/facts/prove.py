"""Prove: what it rests on, and what is missing in sentences. (Frame only; the room fills it.)"""

from collections.abc import Collection

from workshop.core.stations import Facts, Unmet

PAGE = "bench:prove"


def facts(job_ids: Collection[int]) -> dict[int, Facts]:
    """Return the facts of each job."""
    return {pk: Facts() for pk in job_ids}


def unmet(facts: Facts) -> list[Unmet]:
    """Return what is missing before Prove is finished."""
    return []
