"""Writers of the blind second look: begun by somebody who took no part in the first, finished by a press."""

from intake import zones
from intake.blind import why_not
from intake.models import Walk
from intake.services.guard import open_job
from intake.services.walk import begin
from intake.words import WalkKind
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry


def begin_blind_look(act: Act, job: Job) -> JournalEntry:
    """Begin the blind look: from now on this person sees their own marks only.

    :raises Refused: the first walk is not finished, somebody scored it blind already, or this person took part
    """
    with acts.once(act):
        open_job(job)
        first = Walk.objects.filter(job=job, kind=WalkKind.ARRIVAL).first()
        if first is None or first.looks.count() < len(zones.FACES):
            raise Refused("Finish the walk-round first: all six faces.")
        if Walk.objects.filter(job=job, kind=WalkKind.SECOND).exists():
            raise Refused("A second person scores this machine already, or has done so.")
        if reason := why_not(job, act.by):
            raise Refused(reason)
        walk = begin(act, job, WalkKind.SECOND)
        return acts.write(act, "begin_blind_look", "Began the blind second look", walk, job=job)


def finish_blind_look(act: Act, job: Job) -> JournalEntry:
    """Finish the blind look: its marks stay as they are, and both scores are shown.

    :raises Refused: this person has none open, or faces are left to look at
    """
    with acts.once(act):
        open_job(job)
        walk = Walk.objects.filter(job=job, kind=WalkKind.SECOND, by=act.by, finished_at__isnull=True).first()
        if walk is None:
            raise Refused("You have no blind look open on this machine.")
        left = len(zones.FACES) - walk.looks.count()
        if left:
            raise Refused(f"Look at all six faces first: {left} to go.")
        Walk.objects.filter(pk=walk.pk).update(finished_at=act.at)
        return acts.write(act, "finish_blind_look", "Finished the blind second look", walk, job=job)
