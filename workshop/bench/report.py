"""What the test report prints of the bench: every reading card by card, with limit, instrument, person and time.

A failed reading that was mended and measured again stands under the one that counts: nothing is left out.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from django.utils import timezone

from workshop.bench import pages, pages_prove, say
from workshop.bench.cards import kept as kept_cards
from workshop.bench.facts import prove as prove_facts
from workshop.bench.facts.prove import ItemState, ProveFacts, Standing
from workshop.bench.limits import BenchLimit, limit_from
from workshop.core.models import Job, Reading
from workshop.core.templatetags.measures import NBSP, clock, day, measure, number
from workshop.core.words import Outcome

_CODE = re.compile(r"\b[A-Z]-\d{2} ")
_WORDS = {
    Outcome.PASS: "passed",
    Outcome.FAIL: "failed",
    Outcome.RECORDED: "recorded",
    Outcome.NOT_POSSIBLE: "not possible",
}


@dataclass(frozen=True, slots=True)
class ReportRow:
    """One item: its limit with the number of its note, what was found and how it ended, how it was read."""

    what: str
    limit: str
    note: int
    found: str
    ended: str
    how: str
    by: str
    earlier: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ReportCard:
    """The rows of one card."""

    title: str
    rows: list[ReportRow]


@dataclass(frozen=True, slots=True)
class ReportShot:
    """One test shot in words."""

    number: int
    setting: str
    dose: str
    cup: str
    seconds: str
    words: str
    by: str


@dataclass(frozen=True, slots=True)
class BenchReport:
    """Everything the bench proved on one job. `notes`: where limits come from, numbered from 1."""

    cards: list[ReportCard]
    notes: list[str]
    open_items: list[str]
    not_measured: list[str]
    set_words: str
    limits_words: str
    shots: list[ReportShot]
    recipe: str
    case_words: str
    first_on: str = ""
    last_on: str = ""
    overdue: list[str] = field(default_factory=list)

    @property
    def is_complete(self) -> bool:
        """Say whether no item of the set is open, failed or lapsed."""
        return not self.open_items


def report(job: Job) -> BenchReport:
    """Return the report of one job, from facts and every reading ever taken on it."""
    facts = prove_facts.facts([job.pk])[job.pk]
    kept = _kept(job)
    sources: dict[str, int] = {}
    asked = {standing.item.code for standing in facts.asked()} | kept.keys()
    shown = [
        ReportCard(card.title, [_row(facts.states[item.code], kept, facts, sources) for item in card.items])
        for card in kept_cards(facts.every_card, lambda item: item.code in asked)
    ]
    taken = [reading for rows in kept.values() for reading in rows]
    return BenchReport(
        cards=shown,
        notes=list(sources),
        open_items=[_open_words(each) for each in facts.asked() if not each.done],
        not_measured=pages.not_measured(job),
        set_words=pages_prove.set_words(facts),
        limits_words=pages_prove.limits_words(facts),
        shots=_shots(facts),
        recipe=str(facts.recipe) if facts.recipe_holds() else "",
        case_words=f"{_case_words(facts)}{_grinder_words(facts)}",
        first_on=day(min(taken, key=lambda r: r.at).at) if taken else "",
        last_on=day(max(taken, key=lambda r: r.at).at) if taken else "",
        overdue=_overdue(taken),
    )


def _kept(job: Job) -> Mapping[str, list[Reading]]:
    """Return the readings of each item, oldest first; slips taken back are not readings."""
    rows: dict[str, list[Reading]] = defaultdict(list)
    kept = Reading.objects.filter(job=job, struck=False, corrected_by__isnull=True)
    for reading in kept.select_related("by", "instrument", "report").order_by("at", "pk"):
        rows[reading.item].append(reading)
    return rows


def _row(
    standing: Standing, kept: Mapping[str, list[Reading]], facts: ProveFacts, sources: dict[str, int]
) -> ReportRow:
    reading = standing.reading
    limit = say.limit_words(standing, facts.unit)
    if reading is None or standing.state is ItemState.OPEN:
        return ReportRow(standing.item.title, limit, 0, "not done", "open", "", "")
    if standing.state is ItemState.WITHDRAWN and reading.limit_words:
        limit = reading.limit_words  # the paper says what it was held against when it was read
    earlier = [each for each in kept[standing.item.code] if each.pk != reading.pk]
    return ReportRow(
        what=reading.title,
        limit=limit,
        note=_note(standing, reading, sources),
        found=say.found_words(reading),
        ended=_lapsed(standing) if standing.state is ItemState.WITHDRAWN else _ended(standing),
        how=_how(standing, reading),
        by=_by(reading),
        earlier=tuple(_earlier(each) for each in earlier),
    )


def _lapsed(standing: Standing) -> str:
    return f"not proved: the {standing.item.lapses_with} was opened since"


def _ended(standing: Standing) -> str:
    """Say how it stands today: a limit that moved since is held against the reading anew."""
    if standing.reading is None or standing.state is ItemState.FAILED:
        return "failed"
    return _WORDS[Outcome(standing.reading.outcome)]


def _note(standing: Standing, reading: Reading, sources: dict[str, int]) -> int:
    """Number where the limit comes from; what is said already is not said twice."""
    held = standing.limit or reading  # today's limit where it is held against that, else as it stood at the reading
    own = held.own if isinstance(held, BenchLimit) else held.own_limit
    parts = [limit_from(held.edition, own)] if own else [held.edition, _CODE.sub("", held.source)]
    words = _joined(parts)
    return sources.setdefault(words, len(sources) + 1) if words else 0


def _joined(parts: Iterable[str]) -> str:
    """Join sentences, each once: one that the rest already hold is left out."""
    said: list[str] = []
    for part in parts:
        said += [part[:1].upper() + part[1:]] if part and part.lower() not in " ".join(said).lower() else []
    return ". ".join(said)


def _how(standing: Standing, reading: Reading) -> str:
    parts = [f"at {measure(reading.test_volts, 'V')}"] if reading.test_volts else []
    instrument = reading.instrument
    if instrument is not None:
        serial = f", serial {instrument.serial}" if instrument.serial else ""
        due = reading.calibration_due_on
        parts.append(f"{instrument}{serial}" + (f", calibration due {day(due)}" if due else ""))
    parts += [say.how_words(reading, standing.limit), *say.behind(reading), reading.note]
    return "; ".join(part for part in parts if part)


def _by(reading: Reading) -> str:
    if reading.report is not None:
        return say.reading_by(reading)
    at = timezone.localtime(reading.at)
    return f"{reading.by}, {at:%-d}{NBSP}{at:%b} {say.entered(reading)}"


def _earlier(reading: Reading) -> str:
    found = f"{say.found_words(reading)}, {_WORDS[Outcome(reading.outcome)]} ({_by(reading)})"
    return f"second look: {found}" if reading.second_look else found


def _open_words(standing: Standing) -> str:
    since = f"not proved since the {standing.item.lapses_with} was opened"
    word = {ItemState.FAILED: "failed", ItemState.WITHDRAWN: since}
    return f"{standing.item.title}: {word.get(standing.state, 'not done')}"


def _case_words(facts: ProveFacts) -> str:
    if facts.opened is None:
        return "The case was not opened in this workshop."
    if facts.opened.shut_at is None:
        return "The case is open now: nothing electrical counts."
    return f"The case was last shut on {day(facts.opened.shut_at)} at {clock(facts.opened.shut_at)}."


def _grinder_words(facts: ProveFacts) -> str:
    """Say when the grinder was last opened and why; what was read of it before does not count."""
    if facts.burrs is None:
        return ""
    at, why = facts.burrs.at, facts.burrs.why.rstrip(".")
    return f" The grinder was last opened on {day(at)} at {clock(at)}: {why}."


def _overdue(readings: Iterable[Reading]) -> list[str]:
    """Name each instrument whose calibration was past due on the day it was read."""
    return sorted({words for words in map(say.overdue_words, readings) if words})


def _shots(facts: ProveFacts) -> list[ReportShot]:
    rows = facts.dial_in.rows if facts.dial_in else []
    return [
        ReportShot(
            number=shot.number,
            setting=shot.setting_words,
            dose=say.grams(shot.dose_g),
            cup=say.grams(shot.yield_g),
            seconds=f"{number(shot.time_s)} s",
            words=f"not counted: {shot.why_spoilt}" if shot.spoilt else "",
            by=say.by_words(shot.by, shot.at),
        )
        for shot in rows
    ]
