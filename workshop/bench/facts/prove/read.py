"""What Prove rests on, read for all jobs at once. Nothing is rewritten: times are compared."""

import re
from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from workshop.bench import card_items, cards, dialin, limits
from workshop.bench.cards import Card, Item, SafetyPartRow, Unit
from workshop.bench.facts.prove.standing import AGAIN_CARD, AGAIN_TITLE, SAFE_CARD, ItemState, ProveFacts, Standing
from workshop.bench.models import CaseOpening, Recipe, SealWork, Shot, WorkDone
from workshop.bench.models.corrections import STANDS
from workshop.bench.words import SealEnd
from workshop.core.models import Instrument, Job, Reading, SafetyPart, Shop
from workshop.core.words import Outcome
from workshop.trade.safety.electrical import PROFILES, Profile

# Words of work that ask for the full set: boiler, pump or wiring was touched. House policy.
DEEP_WORDS = re.compile(
    r"boiler|pump|element|wir(e|ed|es|ing)\b|terminal|thermostat|pressurestat|cut-out|valve|fuse|cord|switch|exchanger|"
    r"thermoblock|sensor|relay|electronic|circuit|control board",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class _Rows:
    """What was read once for all jobs, by job."""

    profile: Profile
    owned: frozenset[str]
    parts: Mapping[int, tuple[SafetyPartRow, ...]]
    readings: Mapping[int, list[Reading]]
    openings: Mapping[int, list[CaseOpening]]
    deep: Collection[int]
    shots: Mapping[int, list[Shot]]
    recipes: Mapping[int, Recipe]


def facts(job_ids: Collection[int]) -> dict[int, ProveFacts]:
    """Return the facts of each job: the same ten queries for one job or a thousand."""
    jobs = list(Job.objects.filter(pk__in=job_ids).select_related("machine__notes"))
    rows = _rows(job_ids, {job.machine.notes_id for job in jobs})
    return {job.pk: _one(job, rows) for job in jobs}


def _rows(job_ids: Collection[int], notes_ids: Collection[int]) -> _Rows:
    shop = Shop.objects.filter(pk=1).first()
    openings: dict[int, list[CaseOpening]] = defaultdict(list)
    for opening in CaseOpening.objects.filter(job_id__in=job_ids).order_by("opened_at", "pk"):
        openings[opening.job_id].append(opening)
    shots: dict[int, list[Shot]] = defaultdict(list)
    for shot in Shot.objects.current().filter(job_id__in=job_ids).select_related("coffee", "by"):
        shots[shot.job_id].append(shot)
    standing = Recipe.objects.filter(job_id__in=job_ids, struck_at__isnull=True).order_by("pk")
    return _Rows(
        profile=PROFILES.get(shop.profile if shop else "", PROFILES["record_only"]),
        owned=frozenset(Instrument.objects.filter(retired=False).values_list("kind", flat=True)),
        parts=_parts(notes_ids),
        readings=_readings(job_ids),
        openings=openings,
        deep=_deep(job_ids, openings),
        shots=shots,
        recipes={r.job_id: r for r in standing.select_related("set_by", "first_shot", "second_shot")},
    )


def _parts(notes_ids: Collection[int]) -> dict[int, tuple[SafetyPartRow, ...]]:
    parts: dict[int, tuple[SafetyPartRow, ...]] = defaultdict(tuple)
    for part in SafetyPart.objects.filter(notes_id__in=notes_ids).order_by("pk"):
        parts[part.notes_id] = (*parts[part.notes_id], SafetyPartRow(part.name, part.rating))
    return parts


def _readings(job_ids: Collection[int]) -> dict[int, list[Reading]]:
    readings: dict[int, list[Reading]] = defaultdict(list)
    current = Reading.objects.filter(job_id__in=job_ids, struck=False, corrected_by__isnull=True)
    for reading in current.select_related("by", "instrument").order_by("at", "pk"):
        readings[reading.job_id].append(reading)
    return readings


def _deep(job_ids: Collection[int], openings: Mapping[int, list[CaseOpening]]) -> set[int]:
    """Return the jobs where boiler, pump or wiring was touched: by what was done, changed inside, or opened for."""
    work = WorkDone.objects.filter(job_id__in=job_ids, struck_at__isnull=True).values_list("job_id", "what")
    deep = {job_id for job_id, what in work if DEEP_WORDS.search(what)}
    inside = SealWork.objects.filter(STANDS, job_id__in=job_ids, end=SealEnd.CHANGED, position__wears=False)
    deep |= set(inside.values_list("job_id", flat=True))
    return deep | {job_id for job_id, rows in openings.items() if any(DEEP_WORDS.search(row.why) for row in rows)}


def _one(job: Job, rows: _Rows) -> ProveFacts:
    notes, readings = job.machine.notes, rows.readings.get(job.pk, [])
    newest = {reading.item: reading for reading in readings}
    unit = _tested(cards.unit_of(job.machine, notes, rows.profile, rows.parts.get(notes.pk, ())), newest)
    unit = replace(unit, deep=job.pk in rows.deep)
    opened = next(reversed(rows.openings.get(job.pk, [])), None)
    every = card_items.cards_for(unit)
    set_of = cards.asked(every, rows.owned, full=unit.deep)
    states = _states(every, newest, unit, opened)
    again = _again(states, readings, opened)
    states |= {code: replace(states[code], card=AGAIN_CARD) for code in again}
    shots = rows.shots.get(job.pk, [])
    known = ProveFacts(
        begun=bool(newest or shots),
        unit=unit,
        every_card=every,
        cards=cards.together(set_of, again, code=AGAIN_CARD, title=AGAIN_TITLE, before=SAFE_CARD),
        states=states,
        owned=rows.owned,
        full=unit.deep,
        opened=opened,
        dial_in=dialin.dial_in_of(notes, shots) if dialin.pulls_shots(notes) else None,
        recipe=rows.recipes.get(job.pk),
    )
    return replace(known, asserted=_asserted(known))


def _states(
    every: tuple[Card, ...], newest: Mapping[str, Reading], unit: Unit, opened: CaseOpening | None
) -> dict[str, Standing]:
    states = {
        item.code: _standing(item, card.code, newest.get(item.code), unit, opened)
        for card in every
        for item in card.items
    }
    return {code: _in_turn(standing, states) for code, standing in states.items()}


def _in_turn(standing: Standing, states: Mapping[str, Standing]) -> Standing:
    """A leak reading from before both heat cycles does not count for them: it is open again."""
    first = [states[code] for code in standing.item.after]
    if standing.state is not ItemState.PASSED or standing.reading is None:
        return standing
    at = standing.reading.at
    in_turn = all(each.done and each.reading is not None and each.reading.at <= at for each in first)
    return standing if in_turn else replace(standing, state=ItemState.OPEN)


def _again(states: Mapping[str, Standing], readings: Collection[Reading], opened: CaseOpening | None) -> frozenset[str]:
    """Return the items that were read before the case was last opened: they are asked again, on one card.

    They stay on it once read, so that the card comes to its end. That the case was not shut yet is no such reading.
    """
    codes = {
        reading.item
        for reading in readings
        if reading.item in states and states[reading.item].item.case_sensitive and lapsed(reading.at, opened)
    }
    return frozenset(codes) if any(not states[code].item.shuts_case for code in codes) else frozenset()


def _tested(unit: Unit, newest: Mapping[str, Reading]) -> Unit:
    """Insulation tested at 250 V asks for a leakage reading beside it: the newest reading says how it was tested."""
    reading = newest.get("insulation")
    return replace(unit, test_volts=reading.test_volts) if reading and reading.test_volts else unit


def _standing(item: Item, card: str, reading: Reading | None, unit: Unit, opened: CaseOpening | None) -> Standing:
    if reading is None:
        return Standing(item, card, ItemState.OPEN, home=card)
    if item.case_sensitive and lapsed(reading.at, opened):
        return Standing(item, card, ItemState.WITHDRAWN, reading, card)
    outcome = _outcome_today(item, reading, unit)
    if outcome == Outcome.NOT_POSSIBLE:
        state = ItemState.OPEN if item.stop else ItemState.NOT_POSSIBLE
    else:
        state = ItemState.FAILED if outcome == Outcome.FAIL else ItemState.PASSED
    return Standing(item, card, state, reading, card)


def lapsed(at: datetime, opened: CaseOpening | None) -> bool:
    """Say whether a reading from then does not count any more: the case is open, or was shut after it."""
    return opened is not None and (opened.shut_at is None or at < opened.shut_at)


def _outcome_today(item: Item, reading: Reading, unit: Unit) -> Outcome:
    """A limit moves when a fact of the machine is put right (its cord, say): the reading is held against today's."""
    if item.measure is None or reading.value is None or reading.outcome == Outcome.NOT_POSSIBLE:
        return Outcome(reading.outcome)
    try:
        limit = limits.limit_for(item, unit)
    except limits.MissingFact:
        return Outcome(reading.outcome)
    return limits.judge(item, limit, [reading.value], sign=reading.sign)


def _asserted(known: ProveFacts) -> dict[str, object]:
    asserted: dict[str, object] = {
        f"reading_{s.item.code}": [s.reading.pk, s.state.value] for s in known.asked() if s.reading is not None
    }
    asserted["case"] = [known.opened.pk, known.case_open] if known.opened else []
    if known.recipe is not None:
        recipe = known.recipe
        asserted["recipe"] = [recipe.pk, recipe.first_shot_id, recipe.second_shot_id, recipe.version]
    return asserted
