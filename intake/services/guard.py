"""What every writer of intake asks first."""

from intake import facts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job
from workshop.core.templatetags.measures import day


def open_job(job: Job) -> Job:
    """Lock the job's row for the rest of the act and return it, so that running numbers never meet.

    :raises Refused: when the job has ended
    """
    row = Job.objects.select_for_update().only("closed_at").get(pk=job.pk)
    if row.closed_at is not None:
        raise Refused("This job has ended. Nothing can be added to it.")
    return job


def refuse_work_on_hold(act: Act, job: Job, doing: str) -> None:
    """Refuse work that the law's hold forbids; looking and noting never ask it. :raises Refused: until its day."""
    held = facts.hold([job.pk])[job.pk]
    if held is not None and held.stops_work(act.day):
        raise Refused(f"On hold until {day(held.until_on)}: the law forbids {doing} before. {held.words}")


def refuse_sale_on_hold(act: Act, job: Job) -> None:
    """Refuse to agree on a sale while the law's hold stands. :raises Refused: until its day, with the rule."""
    held = facts.hold([job.pk])[job.pk]
    if held is not None and held.stands(act.day):
        raise Refused(f"On hold by law until {day(held.until_on)}: no sale before. {held.words}")
