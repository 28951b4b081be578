"""Prepared rows of the as-found card: for its own page, for the Machine page, and for whoever sets them beside
what the seller said. What was seen at the seller's is told in its own words and is never an answer."""

from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from intake import facts as intake_facts
from intake import pages as intake_pages
from intake.models import AsFound, Bag, Nothing, SeenRunning
from intake.words import AsFoundAnswer, NothingOf
from workshop.bench import as_found_items, say
from workshop.bench.as_found_items import AskedItem
from workshop.bench.facts.prove import ProveFacts
from workshop.bench.pages_card import Blocked, no_mains
from workshop.core.models import Job
from workshop.core.templatetags.measures import clock, short_day
from workshop.core.words import JobKind, small

_GLYPHS = {AsFoundAnswer.WORKS: "full", AsFoundAnswer.FAULT: "na", AsFoundAnswer.CANNOT_TELL: "half"}


@dataclass(frozen=True, slots=True)
class FoundRow:
    """One item with its standing answer: `found` in words, `told` who and when, `seen` at the seller's."""

    item: AskedItem
    answer: str  # an AsFoundAnswer, or empty before the first
    glyph: str
    found: str
    told: str
    seen: str
    pk: int | None
    url: str
    now: bool = False
    locked: bool = False


@dataclass(frozen=True, slots=True)
class AsFoundPage:
    """Everything the card shows but its forms. `item` is None when nothing more can be answered now."""

    item: AskedItem | None
    row: FoundRow | None
    cold: list[FoundRow]
    mains: list[FoundRow]
    half: list[FoundRow]  # the one of the two that is worked now
    done: int
    safe: bool
    blocked: Blocked | None
    seen: list[intake_pages.SeenRow]
    last: FoundRow | None
    last_saved: str
    later_url: str
    bag: Bag | None
    bagged: str
    has_findings: bool
    nothing_found: bool
    from_seller: bool


def card_at(job: Job, code: str = "") -> str:
    """Return the card's address, at one of its items."""
    url = reverse("as_found", args=[job.machine.slug])
    return f"{url}?item={code}" if code else url


def rows(job: Job) -> list[FoundRow]:
    """Return every item this machine has with its answer, in the order of the card: two queries."""
    answers = intake_facts.as_found([job.pk])[job.pk]
    return _rows(job, answers, intake_facts.seen_running([job.pk])[job.pk])


def _rows(
    job: Job, answers: dict[str, AsFound], seen: list[SeenRunning], *, safe: bool = True, here: str = ""
) -> list[FoundRow]:
    return [
        _row(job, item, answers.get(item.code), seen, safe=safe, now=item.code == here)
        for item in as_found_items.items_for(job.machine.notes)
    ]


def _row(job: Job, item: AskedItem, row: AsFound | None, seen: list[SeenRunning], *, safe: bool, now: bool) -> FoundRow:
    at_seller = next((s for s in reversed(seen) if item.code.value in s.items), None)
    return FoundRow(
        item=item,
        answer=row.answer if row else "",
        glyph=_GLYPHS[AsFoundAnswer(row.answer)] if row else "half" if now else "open",
        found=_found(row) if row else "",
        told=say.by_words(row.by, row.at) if row else "",
        seen=f"seen running at the seller's, {short_day(at_seller.seen_on)}, {at_seller.by}" if at_seller else "",
        pk=row.pk if row else None,
        url=card_at(job, item.code),
        now=now,
        locked=item.needs_mains and not safe,
    )


def _found(row: AsFound) -> str:
    if row.answer != AsFoundAnswer.CANNOT_TELL:
        return str(row)
    return f"cannot tell yet: {row.words}" if row.words else "cannot tell yet"


# --- the card's own page ---------------------------------------------------------------------------------


def page(job: Job, facts: ProveFacts, wanted: str) -> AsFoundPage:
    """Return the card at the item asked for, else at the first without an answer that may be tried now."""
    answers, seen = intake_facts.as_found([job.pk])[job.pk], intake_facts.seen_running([job.pk])[job.pk]
    items = as_found_items.items_for(job.machine.notes)
    open_ = [i for i in items if i.code not in answers and (facts.may_power() or not i.needs_mains)]
    item = next((i for i in items if i.code.value == wanted), next(iter(open_), None))
    shown = _rows(job, answers, seen, safe=facts.may_power(), here=item.code if item else "")
    last = max(answers.values(), key=lambda row: (row.at, row.pk), default=None)
    later = [i for i in open_ if item is not None and i.code != item.code]
    bag = intake_facts.bags([job.pk])[job.pk]
    cold = [row for row in shown if not row.item.needs_mains]
    mains = [row for row in shown if row.item.needs_mains]
    half = mains if (item.needs_mains if item else facts.may_power()) else cold
    return AsFoundPage(
        item=item,
        row=next((row for row in shown if row.now), None),
        cold=cold,
        mains=mains,
        half=half,
        done=sum(1 for row in half if row.answer),
        safe=facts.may_power(),
        blocked=no_mains(job, facts),
        seen=[intake_pages.seen_row(row) for row in seen],
        last=next((row for row in shown if last is not None and row.pk == last.pk), None),
        last_saved=f"Saved {clock(last.at)}, {last.by}" if last else "",
        later_url=card_at(job, later[0].code) if later else "",
        bag=bag,
        bagged=bagged_words(bag) if bag else "",
        has_findings=job.findings.exists(),
        nothing_found=Nothing.objects.filter(job=job, what=NothingOf.FOUND).exists(),
        from_seller=job.kind == JobKind.REFURBISH,
    )


def bagged_words(bag: Bag) -> str:
    """Say that a machine is kept apart, since when and why."""
    return f"Bagged since {short_day(bag.bagged_at)}. {bag.why}. Keep it apart until somebody says that it is clean."


# --- the Machine page ------------------------------------------------------------------------------------


def section(job: Job) -> dict[str, Any]:
    """Return What was found: findings with their ends, then what the card says, in lines."""
    found = rows(job)
    return {
        "findings": intake_pages.findings(job),
        "lines": _lines(found),
        "seen": intake_pages.seen_running(job),
        "complaint": job.complaint,
        "nothing": Nothing.objects.filter(job=job, what=NothingOf.FOUND).exists(),
        "url": card_at(job),
    }


def _lines(found: list[FoundRow]) -> list[tuple[str, str, str]]:
    """Return (glyph, what the line is, the items in words); a fault stands among the findings already."""
    works = [row.found for row in found if row.answer == AsFoundAnswer.WORKS]
    unsure = [row.item.title for row in found if row.answer == AsFoundAnswer.CANNOT_TELL]
    waiting = [row.item.title for row in found if not row.answer]
    lines = [("full", "Worked as found", works), ("half", "Cannot tell yet", unsure)]
    if works or unsure or len(waiting) < len(found):
        lines.append(("open", "Not tried yet", waiting))
    return [(glyph, title, _listed(words)) for glyph, title, words in lines if words]


def _listed(words: list[str]) -> str:
    return "; ".join(map(small, words))
