"""Writer of the word on fast answers, and on times that hardly can be."""

from workshop.bench import tempo
from workshop.bench.models import TempoAnswer
from workshop.bench.services.prove import open_facts
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry


def looked_at(act: Act, job: Job, last_pk: int) -> JournalEntry:
    """Keep somebody's word that fast answers were looked at, or a time is so: the question kept by `last_pk`.

    :raises Refused: when nothing is asked about those answers, or it was answered before
    """
    with acts.once(act):
        asked = next((each for each in tempo.questions(job, open_facts(job)) if each.last_pk == last_pk), None)
        if asked is None or asked.answer:
            raise Refused("Nobody asks about these answers any more. Read the page again.")
        row = TempoAnswer.objects.create(job=job, last_id=last_pk, by=act.by, at=act.at)
        return acts.write(act, "looked_at", f"{asked.words} {asked.yes}", row, job=job)
