"""The six stations in the order of the job, and what they say about a set of jobs."""

from collections.abc import Collection
from typing import Any

from handover import stations as handover_stations
from intake import stations as intake_stations
from workshop.bench import stations as bench_stations
from workshop.core import stations
from workshop.core.models import Wait
from workshop.core.stations import Standing, Station
from workshop.pricing import stations as pricing_stations

STATIONS: tuple[Station[Any], ...] = (
    intake_stations.STATION,
    bench_stations.CLEAN,
    bench_stations.MEND,
    bench_stations.PROVE,
    pricing_stations.STATION,
    handover_stations.STATION,
)


def standings(job_ids: Collection[int]) -> dict[int, list[Standing]]:
    """Return the six standings of each job: a constant number of queries for any number of jobs."""
    return stations.standings(STATIONS, list(job_ids))


def waits(job_ids: Collection[int]) -> dict[int, list[Wait]]:
    """Return the standing waits of each job, oldest first."""
    found: dict[int, list[Wait]] = {job_id: [] for job_id in job_ids}
    for wait in Wait.objects.filter(job_id__in=job_ids, ended_at__isnull=True).order_by("since_on", "pk"):
        found[wait.job_id].append(wait)
    return found
