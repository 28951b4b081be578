"""A reading held against today's limit, against the case, and against the second look beside it."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime

from workshop.bench import limits
from workshop.bench.cards import Item, Unit
from workshop.bench.facts.prove.standing import ItemState, Standing
from workshop.bench.limits import BenchLimit
from workshop.bench.models import CaseOpening
from workshop.core.models import Reading
from workshop.core.words import Outcome


def first_standing(item: Item, card: str, reading: Reading | None, unit: Unit, opened: CaseOpening | None) -> Standing:
    """Return where an item stands by its first reading alone."""
    if reading is None:
        return Standing(item, card, ItemState.OPEN)
    if item.case_sensitive and lapsed(reading.at, opened):
        return Standing(item, card, ItemState.WITHDRAWN, reading)
    outcome, limit = outcome_today(item, reading, unit)
    if outcome == Outcome.NOT_POSSIBLE:
        state = ItemState.OPEN if item.stop else ItemState.NOT_POSSIBLE
    else:
        state = ItemState.FAILED if outcome == Outcome.FAIL else ItemState.PASSED
    return Standing(item, card, state, reading, limit)


def lapsed(at: datetime, opened: CaseOpening | None) -> bool:
    """Say whether a reading from then does not count any more: the case is open, or was shut after it."""
    return opened is not None and (opened.shut_at is None or at < opened.shut_at)


def outcome_today(item: Item, reading: Reading, unit: Unit) -> tuple[Outcome, BenchLimit | None]:
    """A limit moves when a fact of the machine is put right (its cord, say): the reading is held against today's."""
    if item.measure is None or reading.value is None or reading.outcome == Outcome.NOT_POSSIBLE:
        return Outcome(reading.outcome), None
    try:
        limit = limits.limit_for(item, unit)
    except limits.MissingFact:
        return Outcome(reading.outcome), None
    return limits.judge(item, limit, reading.value, sign=reading.sign), limit


def pair_looks(answers: Iterable[Reading]) -> dict[str, tuple[Reading, ...]]:
    """Return by item the newest first reading, and the newest second look taken after it where there is one.

    `answers`: those that stand, in the order given. A new first reading wants its own second look.
    """
    looks: dict[str, tuple[Reading, ...]] = {}
    for reading in answers:
        if not reading.second_look:
            looks[reading.item] = (reading,)
        elif reading.item in looks:
            looks[reading.item] = (looks[reading.item][0], reading)
    return looks


def second_looked(first: Standing, looks: Sequence[Reading], unit: Unit, mains_work: bool) -> Standing:
    """Return where the item stands with its second look: both must pass. Mains-side work wants one of its items."""
    if first.state is not ItemState.PASSED:
        return first
    if len(looks) == 1:
        return replace(first, wants_second=mains_work and first.item.stop and first.item.mains_side)
    second = looks[1]
    failed = outcome_today(first.item, second, unit)[0] == Outcome.FAIL
    state, decides = (ItemState.FAILED, second) if failed else (first.state, first.reading)
    return replace(first, state=state, reading=decides, looks=tuple(looks))
