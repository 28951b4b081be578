"""What every writer of intake asks first."""

from workshop.core.acts import Refused
from workshop.core.models import Job


def open_job(job: Job) -> Job:
    """Lock the job's row for the rest of the act and return it, so that running numbers never meet.

    :raises Refused: when the job has ended
    """
    row = Job.objects.select_for_update().only("closed_at").get(pk=job.pk)
    if row.closed_at is not None:
        raise Refused("This job has ended. Nothing can be added to it.")
    return job
