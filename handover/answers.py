"""Questions and answers on the buyer's page: which a page shows, and the workshop's own wording of them."""

import textwrap
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import IntegrityError
from django.utils import translation

from handover.answers_ours import OURS, OurAnswer
from handover.models import HelpAnswer
from workshop.core import acts
from workshop.core.acts import Act, Refused, Stale
from workshop.core.models import JournalEntry, ModelNotes
from workshop.core.words import Area, Kind

QUESTION_SIGNS, ANSWER_SIGNS = 120, 1000
OWN_POSITION = 100  # own answers stand after ours until somebody says otherwise


@dataclass(frozen=True, slots=True)
class Entry:
    """A question and its answer in one language: ours (`ours`), the workshop's own row, or ours worded anew (both)."""

    question: str
    answer: str
    position: int
    ours: OurAnswer | None = None
    row: HelpAnswer | None = None

    @property
    def retired(self) -> bool:
        """Whether no page shows it."""
        return bool(self.row and self.row.retired)

    @property
    def worded(self) -> bool:
        """Whether these are the workshop's own words."""
        return bool(self.row and self.row.question)

    @property
    def of_what(self) -> str:
        """Which machines it speaks of."""
        if self.ours:
            return self.ours.of_what
        if self.row and self.row.notes:
            return str(self.row.notes)
        return self.row.get_kind_display().lower() if self.row and self.row.kind else "every machine"

    def fits(self, notes: ModelNotes) -> bool:
        """Say whether it speaks of machines of a model."""
        if self.ours:
            return self.ours.fits(notes)
        row = self.row
        return row is not None and (row.kind in ("", notes.kind) and row.notes_id in (None, notes.pk))


def entries(language: str) -> list[Entry]:
    """Return every question in one language, in order, retired ones too: one query."""
    rows = list(HelpAnswer.objects.filter(language=language).select_related("notes").order_by("pk"))
    of_ours = {row.ours: row for row in rows if row.ours}
    own = [Entry(row.question, row.answer, row.position, row=row) for row in rows if not row.ours]
    with translation.override(language):
        found = [_ours(one, of_ours.get(code)) for code, one in OURS.items()]
    return sorted([*found, *own], key=lambda entry: entry.position)


def _ours(one: OurAnswer, row: HelpAnswer | None) -> Entry:
    if row and row.question:
        return Entry(row.question, row.answer, row.position, one, row)
    return Entry(str(one.question), one.answer(), row.position if row else one.position, one, row)


def shown(notes: ModelNotes, language: str) -> list[Entry]:
    """Return the questions the page of a machine of these notes shows, in its language and in order."""
    return [entry for entry in entries(language) if not entry.retired and entry.fits(notes)]


def draft(question: str, answer: str, notes: ModelNotes | None = None) -> dict[str, Any]:
    """Return the boxes of a new answer filled from what a buyer asked and how they were answered.

    For a message from the page and for a note of a call alike; a person reads it over and takes names out. Of several
    lines the first is the question: what was asked back and told belongs to that one machine.
    """
    first = next(iter(question.strip().splitlines()), "")
    asked = textwrap.shorten(first, QUESTION_SIGNS, placeholder="…")
    which = f"model-{notes.pk}" if notes else ""
    return {"question": asked, "answer": answer[:ANSWER_SIGNS], "which": which}


def choices() -> list[tuple[str, str]]:
    """Return what an own answer may speak of: every machine, a kind, a model."""
    models = [(f"model-{notes.pk}", str(notes)) for notes in ModelNotes.objects.order_by("maker", "model", "pk")]
    return [("", "Every machine"), *((f"kind-{kind.value}", str(kind.label)) for kind in Kind), *models]


def which_of(row: HelpAnswer) -> str:
    """Return what an own answer speaks of, as the form's choice says it."""
    return f"model-{row.notes_id}" if row.notes_id else f"kind-{row.kind}" if row.kind else ""


def columns(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the columns of what a form says."""
    what, _, which = values.get("which", "").partition("-")
    return {
        "question": values["question"],
        "answer": values["answer"],
        "position": values["position"],
        "retired": not values["on_page"],
        "kind": which if what == "kind" else "",
        "notes_id": int(which) if what == "model" else None,
    }


def add(act: Act, language: str, values: Mapping[str, Any]) -> JournalEntry:
    """Add a question and its answer of the workshop's own."""
    with acts.once(act):
        row = HelpAnswer.objects.create(language=language, **columns(values))
        return acts.write(act, "add_answer", "Added an answer to the buyer's page", row, area=Area.SHOP)


def change(act: Act, row: HelpAnswer, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Change an answer, or take it off the pages. :raises Stale: when it was changed meanwhile."""
    with acts.once(act):
        before, after = acts.change(row, version, columns(values))
        return _changed(act, row, before, after)


def word_ours(act: Act, one: OurAnswer, language: str, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Word one of ours anew, move it, or take it off the pages of one language. Words left as ours stay ours.

    :raises Stale: when somebody else did meanwhile
    """
    with acts.once(act):
        wanted = columns(values)
        with translation.override(language):
            if wanted["question"] == str(one.question) and wanted["answer"] == one.answer():
                wanted |= {"question": "", "answer": ""}
        row = HelpAnswer.objects.filter(ours=one.code, language=language).first()
        if row is not None:
            before, after = acts.change(row, version, wanted)
            return _changed(act, row, before, after)
        row = _first(one, language)
        before, after = acts.change(row, row.version, wanted)
        return _changed(act, row, before, after)


def _first(one: OurAnswer, language: str) -> HelpAnswer:
    try:
        return HelpAnswer.objects.create(ours=one.code, language=language, position=one.position)
    except IntegrityError as race:
        raise Stale({"This answer": "was worded by somebody else meanwhile. Open the page again."}) from race


def back_to_ours(act: Act, row: HelpAnswer) -> JournalEntry:
    """Let an answer be ours again: words, place, and on the page. :raises Refused: when it is."""
    with acts.once(act):
        ours = {"question": "", "answer": "", "position": OURS[row.ours].position, "retired": False}
        if all(getattr(row, name) == value for name, value in ours.items()):
            raise Refused("This answer is ours already.")
        before, after = acts.change(row, row.version, ours)
        return _changed(act, row, before, after)


def _changed(act: Act, row: HelpAnswer, before: dict[str, Any], after: dict[str, Any]) -> JournalEntry:
    words = "Changed an answer on the buyer's page"
    return acts.write(act, "change_answer", words, row, area=Area.SHOP, before=before, after=after)


def take_off(act: Act, row: HelpAnswer) -> JournalEntry:
    """Undo adding: no page shows it. :raises Refused: when none does."""
    with acts.once(act):
        if row.retired:
            raise Refused("No page shows it any more.")
        acts.change(row, row.version, {"retired": True})
        return acts.write(act, "take_answer_off", "Took an answer off the buyer's page", row, area=Area.SHOP)


def put_back(act: Act, row: HelpAnswer, entry: JournalEntry) -> JournalEntry:
    """Undo a change of an answer. :raises Refused: when it was changed since."""
    with acts.once(act):
        if acts.plain({name: getattr(row, name) for name in entry.after}) != entry.after:
            raise Refused("It was changed since. Open it and type what is true.")
        before, after = acts.change(row, row.version, entry.before)
        words = "An answer on the buyer's page is as before"
        return acts.write(act, "put_answer_back", words, row, area=Area.SHOP, before=before, after=after)
