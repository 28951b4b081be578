"""What Prove rests on, read for all jobs at once. Nothing is rewritten: times are compared."""

import re
from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.db.models import QuerySet

from intake import facts as intake_facts
from intake.words import RecallFound
from workshop.bench import card_items, cards, dialin, removals
from workshop.bench.cards import Card, SafetyPartRow, Unit
from workshop.bench.facts.prove import basis
from workshop.bench.facts.prove.judged import Opened, asked_again, first_standing, in_turn, pair_looks, second_looked
from workshop.bench.facts.prove.standing import AGAIN_CARD, AGAIN_TITLE, SAFE_CARD, ProveFacts, Standing
from workshop.bench.models import BurrChange, CaseOpening, LimitRow, ProveBasis, Recipe, SealWork, Shot, WorkDone
from workshop.bench.models.corrections import STANDS
from workshop.bench.words import BasisOf, SealEnd
from workshop.core import people
from workshop.core.models import Instrument, Job, Reading, SafetyPart, Shop
from workshop.core.reads import once_a_page
from workshop.trade.safety.discipline import mains_side
from workshop.trade.safety.electrical import PROFILES, Profile

# Words of work that ask for the full set: boiler, pump or wiring was touched. House policy.
DEEP_WORDS = re.compile(
    r"boiler|pump|element|wir(e|ed|es|ing)\b|terminal|thermostat|pressurestat|cut-out|valve|fuse|\bcord|switch|exchanger|"
    r"thermoblock|sensor|relay|electronic|circuit|control board",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class _Rows:
    """What was read once for all jobs, by job."""

    today: Profile
    own: list[LimitRow]
    bases: Mapping[int, dict[str, ProveBasis]]
    owned: frozenset[str]
    parts: Mapping[int, tuple[SafetyPartRow, ...]]
    readings: Mapping[int, list[Reading]]
    openings: Mapping[int, list[CaseOpening]]
    deep: Collection[int]
    mains: Collection[int]
    full_by_price: bool
    alone: bool
    removed: frozenset[str]
    shots: Mapping[int, list[Shot]]
    recipes: Mapping[int, Recipe]
    burrs: Mapping[int, BurrChange]


@once_a_page
def facts(job_ids: Collection[int]) -> dict[int, ProveFacts]:
    """Return the facts of each job: the same fourteen queries for one job or a thousand."""
    jobs = list(_jobs(job_ids))
    rows = _rows(job_ids, {job.machine.notes_id for job in jobs})
    return {job.pk: _one(job, rows) for job in jobs}


def _jobs(job_ids: Collection[int]) -> "QuerySet[Job]":
    """With the draw, and what the registers said last, in the same query."""
    rows = Job.objects.filter(pk__in=job_ids).select_related("machine__notes", "spot_check")
    return rows.annotate(recall_found=intake_facts.latest_recall())


def _rows(job_ids: Collection[int], notes_ids: Collection[int]) -> _Rows:
    shop = Shop.objects.filter(pk=1).annotate(people=people.count()).first()
    openings: dict[int, list[CaseOpening]] = defaultdict(list)
    for opening in CaseOpening.objects.standing().filter(job_id__in=job_ids).order_by("opened_at", "pk"):
        openings[opening.job_id].append(opening)
    shots: dict[int, list[Shot]] = defaultdict(list)
    for shot in Shot.objects.current().filter(job_id__in=job_ids).select_related("coffee", "by"):
        shots[shot.job_id].append(shot)
    work = list(WorkDone.objects.filter(job_id__in=job_ids, struck_at__isnull=True).values_list("job_id", "what"))
    standing = Recipe.objects.filter(job_id__in=job_ids, struck_at__isnull=True).order_by("pk")
    return _Rows(
        today=PROFILES.get(shop.profile if shop else "", PROFILES["record_only"]),
        own=basis.limit_rows(),
        bases=basis.bases(job_ids),
        owned=frozenset(Instrument.objects.filter(retired=False).values_list("kind", flat=True)),
        parts=_parts(notes_ids),
        readings=_readings(job_ids),
        openings=openings,
        deep=_deep(job_ids, work, openings),
        mains=_mains(work, openings),
        full_by_price=shop is not None and shop.full_set_from_minor is not None,
        alone=getattr(shop, "people", 1) == 1,
        removed=removals.removed(),
        shots=shots,
        recipes={r.job_id: r for r in standing.select_related("set_by", "first_shot", "second_shot")},
        burrs={row.job_id: row for row in BurrChange.objects.filter(STANDS, job_id__in=job_ids).order_by("at", "pk")},
    )


def _parts(notes_ids: Collection[int]) -> dict[int, tuple[SafetyPartRow, ...]]:
    parts: dict[int, tuple[SafetyPartRow, ...]] = defaultdict(tuple)
    for part in SafetyPart.objects.filter(notes_id__in=notes_ids).order_by("pk"):
        parts[part.notes_id] = (*parts[part.notes_id], SafetyPartRow(part.name, part.rating))
    return parts


def _readings(job_ids: Collection[int]) -> dict[int, list[Reading]]:
    readings: dict[int, list[Reading]] = defaultdict(list)
    current = Reading.objects.filter(job_id__in=job_ids, struck=False, corrected_by__isnull=True)
    for reading in current.select_related("by", "instrument", "report").order_by("at", "pk"):
        readings[reading.job_id].append(reading)
    return readings


def _deep(
    job_ids: Collection[int], work: Collection[tuple[int, str]], openings: Mapping[int, list[CaseOpening]]
) -> set[int]:
    """Return the jobs where boiler, pump or wiring was touched: by what was done, changed inside, or opened for."""
    deep = {job_id for job_id, what in work if DEEP_WORDS.search(what)}
    inside = SealWork.objects.filter(STANDS, job_id__in=job_ids, end=SealEnd.CHANGED, position__wears=False)
    deep |= set(inside.values_list("job_id", flat=True))
    return deep | {job_id for job_id, rows in openings.items() if any(DEEP_WORDS.search(row.why) for row in rows)}


def _mains(work: Collection[tuple[int, str]], openings: Mapping[int, list[CaseOpening]]) -> set[int]:
    """Return the jobs with work on the mains side, or whose case was opened for it."""
    worked = {job_id for job_id, what in work if mains_side(what)}
    return worked | {job_id for job_id, rows in openings.items() if any(mains_side(row.why) for row in rows)}


def _one(job: Job, rows: _Rows) -> ProveFacts:
    answers, shots = rows.readings.get(job.pk, []), rows.shots.get(job.pk, [])
    looks, mine = pair_looks(answers), rows.bases.get(job.pk, {})
    kept = basis.kept(mine.get(BasisOf.LIMITS), rows.today, rows.own)
    touched, because = job.pk in rows.deep, basis.full_because(mine)
    notes, burrs = job.machine.notes, rows.burrs.get(job.pk)
    known = ProveFacts(
        begun=bool(looks or shots),
        owned=rows.owned,
        full=touched or bool(because),
        touched=touched,
        full_because=because,
        full_by_price=rows.full_by_price,
        kept=kept,
        burrs=burrs,
        dial_in=dialin.dial_in_of(notes, shots, burrs.at if burrs else None) if dialin.pulls_shots(notes) else None,
        recipe=rows.recipes.get(job.pk),
        answers=tuple(answers),
        mains_work=job.pk in rows.mains,
        alone=rows.alone,
        recalled=getattr(job, "recall_found", None) == RecallFound.RECALLED,
        spot=getattr(job, "spot_check", None),
        **_on_cards(job, rows, kept, looks, full=touched or bool(because)),
    )
    return replace(known, asserted=_asserted(known))


def _on_cards(
    job: Job, rows: _Rows, kept: basis.Kept, looks: Mapping[str, tuple[Reading, ...]], *, full: bool
) -> dict[str, Any]:
    """Return the machine, the case, its cards and where each item stands: what lapsed with the case on one card."""
    unit = _unit(job, rows, kept, looks)
    opened = next(reversed(rows.openings.get(job.pk, [])), None)
    every = cards.without(card_items.cards_for(unit), rows.removed - looks.keys())  # what was read here stays
    states = _states(every, looks, unit, Opened(opened, rows.burrs.get(job.pk)), mains=job.pk in rows.mains)
    set_of = cards.asked(every, rows.owned, full=full)
    in_set = [states[item.code] for card in set_of for item in card.items]
    again = asked_again(in_set, rows.readings.get(job.pk, []), opened)
    return {
        "unit": unit,
        "opened": opened,
        "every_card": every,
        "cards": cards.together(set_of, again, code=AGAIN_CARD, title=AGAIN_TITLE, before=SAFE_CARD),
        "states": states | {code: replace(states[code], card=AGAIN_CARD) for code in again},
    }


def _unit(job: Job, rows: _Rows, kept: basis.Kept, looks: Mapping[str, tuple[Reading, ...]]) -> Unit:
    notes = job.machine.notes
    plain = cards.unit_of(job.machine, notes, kept.profile, rows.parts.get(notes.pk, ()))
    newest = {code: pair[0] for code, pair in looks.items()}
    return _tested(replace(plain, own=kept.own, deep=job.pk in rows.deep), newest)


def _tested(unit: Unit, newest: Mapping[str, Reading]) -> Unit:
    """Insulation tested at 250 V, cold or hot, asks for a leakage reading beside it: the readings say how it was."""
    read = [newest[code].test_volts for code in ("insulation", "insulation_hot") if code in newest]
    volts = [each for each in read if each]
    return replace(unit, test_volts=min(volts)) if volts else unit


def _states(
    every: tuple[Card, ...],
    looks: Mapping[str, tuple[Reading, ...]],
    unit: Unit,
    opened: Opened,
    *,
    mains: bool,
) -> dict[str, Standing]:
    single = {}
    for card in every:
        for item in card.items:
            pair = looks.get(item.code, ())
            first = first_standing(item, card.code, pair[0] if pair else None, unit, opened)
            single[item.code] = second_looked(first, pair, unit, mains)
    return {code: in_turn(standing, single) for code, standing in single.items()}


def _asserted(known: ProveFacts) -> dict[str, object]:
    asserted: dict[str, object] = {
        f"reading_{s.item.code}": [s.reading.pk, s.state.value] for s in known.asked() if s.reading is not None
    }
    if known.kept.row_pk is not None:
        asserted["limits"] = [known.kept.row_pk, known.kept.profile.code, known.kept.profile.version]
    asserted |= {f"second_{s.item.code}": s.looks[1].pk for s in known.asked() if s.looks}
    asserted["case"] = [known.opened.pk, known.case_open] if known.opened else []
    if known.burrs is not None:
        asserted["burrs"] = known.burrs.pk
    if known.recipe is not None:
        recipe = known.recipe
        asserted["recipe"] = [recipe.pk, recipe.first_shot_id, recipe.second_shot_id, recipe.version]
    return asserted
