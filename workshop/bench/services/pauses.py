"""Writers of a place kept on a card, and of coming back to it."""

from workshop.bench import pauses
from workshop.bench.models import Pause
from workshop.bench.services.prove import find, open_facts
from workshop.bench.words import PauseStep
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry


def pause(act: Act, job: Job, code: str) -> JournalEntry:
    """Keep the place at one item. :raises Refused: no such item on this machine, or the job has ended."""
    with acts.once(act):
        item, card = find(open_facts(job), code)
        row = Pause.objects.create(
            job=job, step=PauseStep.PAUSED, card=card, item=code, title=item.title, by=act.by, at=act.at
        )
        return acts.write(act, "pause", f"Paused at {item.title}", row, job=job)


def come_back(act: Act, job: Job, *, seen: int, still_so: bool) -> JournalEntry:
    """Say on coming back whether the last thing done is still so. Anybody may.

    :raises Refused: when somebody came back to that place before
    """
    with acts.once(act):
        open_facts(job)
        kept = pauses.standing([job.pk]).get(job.pk)
        if kept is None or kept.pk != seen:
            raise Refused("Somebody came back to this place before you. Open the card again.")
        step = PauseStep.STILL_SO if still_so else PauseStep.NOT_SO
        row = Pause.objects.create(
            job=job, step=step, card=kept.card, item=kept.item, title=kept.title, by=act.by, at=act.at
        )
        words = "the last thing done is still so" if still_so else "the last thing done is not so any more"
        return acts.write(act, "come_back", f"Came back to {kept.title}: {words}", row, job=job)
