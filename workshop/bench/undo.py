"""What this app can take back, by the verb of the journal entry. Each undoing is an act of its own."""

from workshop.bench.models import CaseOpening, DescaleRun, Recipe, Rinse, Shot, WorkDone
from workshop.bench.services import clean, shots, work
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry
from workshop.core.undo import Undo, subject_pk


def _shot(act: Act, entry: JournalEntry) -> JournalEntry:
    return shots.strike_shot(act, Shot.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _recipe(act: Act, entry: JournalEntry) -> JournalEntry:
    return shots.strike_recipe(act, Recipe.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _work(act: Act, entry: JournalEntry) -> JournalEntry:
    rows = WorkDone.objects.select_related("job__machine", "movement__part")
    return work.strike_work(act, rows.get(pk=subject_pk(entry)))


def _run(act: Act, entry: JournalEntry) -> JournalEntry:
    return clean.strike(act, DescaleRun.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _rinse(act: Act, entry: JournalEntry) -> JournalEntry:
    return clean.strike(act, Rinse.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _case(act: Act, entry: JournalEntry) -> JournalEntry:
    """An opened case cannot be unopened: it is shut, and the tests are done again."""
    row = CaseOpening.objects.select_related("job__machine").get(pk=subject_pk(entry))
    if row.shut_at is not None:
        raise Refused("The case was shut since. What was tested before does not count any more.")
    return work.shut_case(act, row.job)


UNDO: dict[str, Undo] = {
    "add_shot": _shot,
    "set_recipe": _recipe,
    "add_work": _work,
    "descale": _run,
    "rinse": _rinse,
    "open_case": _case,
}
