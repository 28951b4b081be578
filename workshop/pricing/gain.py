"""Net gain for each remaining bench hour. (Frame only; the room fills it.)"""

from collections.abc import Collection


def per_hour_minor(job_ids: Collection[int]) -> dict[int, int | None]:
    """Return the likely gain an hour of each job, None where nothing can be said."""
    return {pk: None for pk in job_ids}
