"""What wording and answers can take back, by the verb of the journal entry."""

from handover import answers, wording
from handover.models import HelpAnswer
from workshop.core.acts import Act
from workshop.core.models import JournalEntry
from workshop.core.undo import Undo, subject_pk


def _added(act: Act, entry: JournalEntry) -> JournalEntry:
    return answers.take_off(act, HelpAnswer.objects.get(pk=subject_pk(entry)))


def _changed(act: Act, entry: JournalEntry) -> JournalEntry:
    return answers.put_back(act, HelpAnswer.objects.get(pk=subject_pk(entry)), entry)


UNDO: dict[str, Undo] = {
    "add_answer": _added,
    "back_to_ours": wording.put_back,
    "change_answer": _changed,
    "word_block": wording.put_back,
}
