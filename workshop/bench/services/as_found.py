"""The as-found card at the bench: it asks first what intake cannot know, whether mains may be on."""

from collections.abc import Collection
from datetime import date

from intake import services as intake
from intake.words import AsFoundAnswer
from workshop.bench import as_found_items
from workshop.bench.as_found_items import AskedItem
from workshop.bench.services.prove import open_facts, refuse_unsafe
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry


def answer(act: Act, job: Job, code: str, *, pressed: AsFoundAnswer, words: str) -> JournalEntry:
    """Keep one answer of the card.

    :raises Refused: this machine has no such item, or it needs mains and is not safe to power
    """
    with acts.once(act):
        facts = open_facts(job)
        item = _item(job, code)
        if item.needs_mains:
            refuse_unsafe(facts)
        given = intake.Answered(item.code, pressed, item.said(pressed), words)
        return intake.answer_as_found(act, job, given)


def note_seen_running(act: Act, job: Job, codes: Collection[str], *, seen_on: date) -> JournalEntry:
    """Note what was seen running at the seller's, in the card's words. :raises Refused: an item it does not have."""
    seen = {_item(job, code).code: as_found_items.seen_words(code) for code in codes}
    return intake.note_seen_running(act, job, seen, seen_on=seen_on)


def _item(job: Job, code: str) -> AskedItem:
    item = as_found_items.find(job.machine.notes, code)
    if item is None:
        raise Refused("This machine has no such item. Open the card again.")
    return item
