"""A reading held against today's limit, the case, the second look beside it, and what comes before it."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from workshop.bench import limits
from workshop.bench.cards import Item, Unit
from workshop.bench.facts.prove.standing import ItemState, Standing
from workshop.bench.limits import BenchLimit
from workshop.bench.models import BurrChange, CaseOpening
from workshop.core.models import Reading
from workshop.core.words import Outcome


@dataclass(frozen=True, slots=True)
class Opened:
    """What was opened last, and takes earlier readings with it."""

    case: CaseOpening | None
    burrs: BurrChange | None

    def withdraws(self, item: Item, at: datetime) -> bool:
        """Say whether a reading of the item from then does not count any more."""
        if item.grinder_sensitive and self.burrs is not None and at <= self.burrs.at:
            return True
        return item.case_sensitive and lapsed(at, self.case)


def first_standing(item: Item, card: str, reading: Reading | None, unit: Unit, opened: Opened) -> Standing:
    """Return where an item stands by its first reading alone."""
    if reading is None:
        return Standing(item, card, card, ItemState.OPEN)
    if opened.withdraws(item, reading.at):
        return Standing(item, card, card, ItemState.WITHDRAWN, reading)
    outcome, limit = outcome_today(item, reading, unit)
    if outcome == Outcome.NOT_POSSIBLE:
        state = ItemState.OPEN if item.stop else ItemState.NOT_POSSIBLE
    else:
        state = ItemState.FAILED if outcome == Outcome.FAIL else ItemState.PASSED
    return Standing(item, card, card, state, reading, limit)


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
    return limits.judge(item, limit, [reading.value], sign=reading.sign), limit


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


def in_turn(standing: Standing, states: Mapping[str, Standing]) -> Standing:
    """Return where an item stands that waits for others: read before all of them passed, it is open again."""
    if not standing.item.after or standing.state is not ItemState.PASSED or standing.reading is None:
        return standing
    at = standing.reading.done_at
    first = [states[code] for code in standing.item.after]
    if all(each.done and each.reading is not None and each.reading.done_at <= at for each in first):
        return standing
    return replace(standing, state=ItemState.OPEN, wants_second=False)


def asked_again(
    asked: Collection[Standing], readings: Collection[Reading], opened: CaseOpening | None
) -> frozenset[str]:
    """Return the codes of items that were read before the case was last opened: they are asked again, on one card.

    They stay on it once read, so that the card comes to its end. That the case was not shut yet is no such reading.
    """
    sensitive = {each.item.code: each.item for each in asked if each.item.case_sensitive}
    codes = {each.item for each in readings if each.item in sensitive and lapsed(each.at, opened)}
    return frozenset(codes) if any(not sensitive[code].shuts_case for code in codes) else frozenset()
