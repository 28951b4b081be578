"""What this app can take back, by the verb of the journal entry. Each undoing is an act of its own."""

from typing import Any

from workshop.bench.models import (
    BurrChange,
    ButtonTrial,
    CaseOpening,
    CleanLine,
    DescaleRun,
    DoseTrial,
    Escape,
    ItemRemoval,
    LeadFlush,
    LimitRow,
    Pause,
    ProveBasis,
    Recipe,
    ResidualCheck,
    Rinse,
    SealWork,
    Shot,
    TempoAnswer,
    WorkDone,
)
from workshop.bench.models.corrections import Corrected
from workshop.bench.services import clean, own_limits, prove, recipe, removals, shots, work
from workshop.bench.services.take_back import take_back
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry, Reading
from workshop.core.undo import Undo, subject_pk


def _shot(act: Act, entry: JournalEntry) -> JournalEntry:
    """Take out the row of that shot that stands now: it may have been out and put back."""
    pulled = _pulled(entry)
    rows = Shot.objects.current().filter(job=pulled.job_id, number=pulled.number)
    return shots.strike_shot(act, rows.select_related("job__machine").first() or pulled)


def _shot_back(act: Act, entry: JournalEntry) -> JournalEntry:
    return shots.put_shot_back(act, _pulled(entry))


def _pulled(entry: JournalEntry) -> Shot:
    return Shot.objects.select_related("job__machine", "by").get(pk=subject_pk(entry))


def _recipe(act: Act, entry: JournalEntry) -> JournalEntry:
    return recipe.strike_recipe(act, Recipe.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _work(act: Act, entry: JournalEntry) -> JournalEntry:
    rows = WorkDone.objects.select_related("job__machine", "movement__part")
    return work.strike_work(act, rows.get(pk=subject_pk(entry)))


def _run(act: Act, entry: JournalEntry) -> JournalEntry:
    return clean.strike(act, DescaleRun.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _rinse(act: Act, entry: JournalEntry) -> JournalEntry:
    return clean.strike(act, *_of_act(Rinse, entry))


def _rows(kind: type[Corrected]) -> Undo:
    """Return the undoing of rows that are never changed: all that were written by the entry's act."""

    def undo(act: Act, entry: JournalEntry) -> JournalEntry:
        return take_back(act, _of_act(kind, entry).filter(corrects__isnull=True), entry.sentence)

    return undo


def _of_act(kind: type[Any], entry: JournalEntry) -> Any:
    """Return the rows of one act: one person, one moment. An act writes its rows with its own time."""
    rows = kind.objects.filter(job=entry.job_id, by=entry.by_id, at=entry.at)
    return rows.select_related("job__machine").order_by("pk")


def _case(act: Act, entry: JournalEntry) -> JournalEntry:
    """An opened case cannot be unopened: it is shut, and the tests are done again."""
    row = CaseOpening.objects.select_related("job__machine").get(pk=subject_pk(entry))
    if row.shut_at is not None:
        raise Refused("The case was shut since. What was tested before does not count any more.")
    return work.shut_case(act, row.job)


def _look_inside(act: Act, entry: JournalEntry) -> JournalEntry:
    return prove.take_back_look(act, CaseOpening.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _reading(act: Act, entry: JournalEntry) -> JournalEntry:
    """A reading that said that the case is open takes that back with it: the core knows of no case."""
    return prove.take_back(act, Reading.objects.select_related("job__machine", "by").get(pk=subject_pk(entry)))


def _case_shut(act: Act, entry: JournalEntry) -> JournalEntry:
    return work.reopen_case(act, CaseOpening.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _own_limit(act: Act, entry: JournalEntry) -> JournalEntry:
    return own_limits.strike_limit(act, LimitRow.objects.get(pk=subject_pk(entry)))


def _asked_again(act: Act, entry: JournalEntry) -> JournalEntry:
    return removals.ask_again(act, ItemRemoval.objects.get(pk=subject_pk(entry)).item)


UNDO: dict[str, Undo] = {
    "add_shot": _shot,
    "set_recipe": _recipe,
    "add_work": _work,
    "descale": _run,
    "rinse": _rinse,
    "rinse_all": _rinse,
    "record_reading": _reading,
    "look_inside": _look_inside,
    "open_case": _case,
    "shut_case": _case_shut,
    "use_todays_limits": _rows(ProveBasis),
    "ask_full_set": _rows(ProveBasis),
    "set_own_limit": _own_limit,
    "strike_shot": _shot_back,
    "put_shot_back": _shot,
    "clean": _rows(CleanLine),
    "check_residual": _rows(ResidualCheck),
    "flush_for_lead": _rows(LeadFlush),
    "add_dose": _rows(DoseTrial),
    "add_button_run": _rows(ButtonTrial),
    "open_grinder": _rows(BurrChange),
    "answer_seal": _rows(SealWork),
    "keep_other_seals": _rows(SealWork),
    "leave_inside_seals": _rows(SealWork),
    "pause": _rows(Pause),
    "come_back": _rows(Pause),
    "looked_at": _rows(TempoAnswer),
    "answer_escape": _rows(Escape),
    "ask_no_longer": _asked_again,
}
