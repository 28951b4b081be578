"""Station Clean, Mend, Prove: what it rests on and what is missing. (Frame only; the room fills it.)"""

from collections.abc import Collection

from workshop.core.stations import Facts, Station, Unmet


def facts(job_ids: Collection[int]) -> dict[int, Facts]:
    """Return the facts of each job."""
    return {pk: Facts() for pk in job_ids}


def unmet(facts: Facts) -> list[Unmet]:
    """Return what is missing."""
    return []


CLEAN = Station("CLEAN", "Clean and descale", "machine", facts, unmet)
MEND = Station("MEND", "Mend and reseal", "machine", facts, unmet)
PROVE = Station("PROVE", "Prove", "machine", facts, unmet)
