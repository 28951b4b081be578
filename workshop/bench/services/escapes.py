"""Writer of what should have caught the reason why a machine came back."""

from workshop.bench import escapes
from workshop.bench.models import Escape
from workshop.bench.words import Missed
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.words import small


def answer(act: Act, job: Job, *, missed: Missed, item: str = "", words: str = "") -> JournalEntry:
    """Say which check should have caught it; a later answer counts in place of an earlier one.

    :raises Refused: when the machine did not come back, no such check was on its cards, or words are missing
    """
    with acts.once(act):
        if not escapes.asked(job):
            raise Refused("This machine did not come back: there is nothing a check has missed.")
        titles = {code: title for _, rows in escapes.checks(job) for code, title in rows}
        if missed == Missed.CHECK and item not in titles:
            raise Refused("Choose one of the checks on its cards.", field="choice")
        if missed == Missed.NO_CHECK and not words:
            raise Refused("Say in words what no check of ours looks at.", field="words")
        code = item if missed == Missed.CHECK else ""
        row = Escape.objects.create(
            job=job, missed=missed, item=code, title=titles.get(code, ""), words=words, by=act.by, at=act.at
        )
        return acts.write(act, "answer_escape", f"Should have been caught by: {small(str(row))}", row, job=job)
