"""What stops a machine: failed or missing stop items, a hold. (Frame only; the room fills it.)"""

from collections.abc import Collection
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stop:
    """One reason why the machine must not be powered, used or sold as it is."""

    words: str
    page: str  # URL name that takes the machine's name
    link_words: str


def stops(job_ids: Collection[int]) -> dict[int, list[Stop]]:
    """Return what stops each job's machine."""
    return {pk: [] for pk in job_ids}
