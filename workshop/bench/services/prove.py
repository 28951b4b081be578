"""Writers of the proving cards: readings, what is not possible, stopping a unit."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from django.db.models import Max

from workshop.bench import limits, odd, say
from workshop.bench.cards import Item
from workshop.bench.facts import prove as facts_of
from workshop.bench.facts.prove import ItemState, ProveFacts, Standing
from workshop.bench.services import work
from workshop.bench.words import NotPossible
from workshop.core import acts, services
from workshop.core.acts import Act, Refused
from workshop.core.models import Instrument, Job, JournalEntry, Machine, Reading, Wait
from workshop.core.services import Found
from workshop.core.templatetags.measures import measure, number
from workshop.core.words import Outcome
from workshop.trade.coffee import heat
from workshop.trade.coffee.sources import MOST_WATTS
from workshop.trade.safety.electrical import Measure

LOOK_INSIDE = "look inside before the lid goes on"


@dataclass(frozen=True, slots=True)
class Typed:
    """What a person typed or pressed on a card."""

    value: Decimal | None = None
    series: tuple[Decimal, ...] = ()
    inputs: Mapping[str, str | Decimal] = field(default_factory=dict)
    sign: str = ""
    answer: str = ""
    instrument: Instrument | None = None
    test_volts: int | None = None
    note: str = ""
    sure: str = ""  # the values a person has said yes to


def read(act: Act, job: Job, code: str, typed: Typed, *, seen: int | None = None) -> JournalEntry:
    """Keep one reading of a card, judged against its limit as it stands now.

    `seen`: id of the newest reading on the person's page, 0 for none; None where no page was open.

    :raises Refused: not safe to power, something comes first, a fact of the limit is missing, or no such item
    :raises Odd: a value that is hardly so, until a second press says yes
    :raises Stale: when another reading was recorded or taken back since the page was opened
    """
    with acts.once(act):
        facts = open_facts(job)
        item, card = find(facts, code)
        _refuse_stale(facts.states[code], seen, typed)
        if item.needs_mains:
            refuse_unsafe(facts, item)
        _refuse_early(facts, item)
        _move_case(act, job, facts, item, typed)
        found = _seen(item, card, typed) if item.seen else _measured(facts, item, card, job.machine, typed)
        return services.record_reading(act, job, found)


def _move_case(act: Act, job: Job, facts: ProveFacts, item: Item, typed: Typed) -> None:
    """What is seen inside says that the case is open now; "shut, all screws in" says that it is shut."""
    if item.opens_case and not facts.case_open:
        work.open_now(act, job, why=LOOK_INSIDE)
    if item.shuts_case and facts.case_open and typed.answer == item.answers[0].code:
        work.shut_now(act, job)


def _refuse_stale(standing: Standing, seen: int | None, typed: Typed | None = None) -> None:
    """Let nobody write over a reading they have not seen. :raises Stale: with what it says now."""
    newest = standing.reading.pk if standing.reading else 0
    if seen is None or seen == newest:
        return
    now = {standing.item.title: "nothing recorded"}
    if standing.reading is not None:
        now = {standing.item.title: f"{say.found_words(standing.reading)}. {say.by_words_at(standing.reading)}"}
    pressed = standing.item.answer(typed.answer) if typed else None
    if pressed is not None:
        now["You pressed"] = pressed.label
    raise acts.Stale(now, newest)


def skip(act: Act, job: Job, code: str, *, reason: str, words: str, seen: int | None = None) -> JournalEntry:
    """Note that an item cannot be measured, and why. :raises Refused: on a stop item the machine has.

    :raises Stale: when another reading was recorded or taken back since the page was opened
    """
    with acts.once(act):
        facts = open_facts(job)
        item, card = find(facts, code)
        _refuse_stale(facts.states[code], seen)
        if item.stop:
            raise Refused(f"{item.title} is a stop item: it must be done on this machine.")
        because = f"{NotPossible(reason).label}: {_left_at(facts.states[code], reason)}{words}"[:200]
        return services.record_reading(
            act, job, Found(card=card, item=code, title=item.title, outcome=Outcome.NOT_POSSIBLE, reason=because)
        )


def _left_at(standing: Standing, reason: str) -> str:
    """Say the value an item is left at. :raises Refused: when it was not read out of its limit."""
    if reason != NotPossible.LEFT:
        return ""
    if standing.state is not ItemState.FAILED or standing.reading is None:
        raise Refused("It was not read out of its limit: read it, or choose another reason.", field="reason")
    return f"{say.found_words(standing.reading)}, "


def stop_unit(act: Act, job: Job, code: str) -> JournalEntry:
    """Stop the unit over a failed item: it waits for a decision.

    :raises Refused: when nothing failed, or it waits already
    """
    with acts.once(act):
        facts = open_facts(job)
        item, _ = find(facts, code)
        if facts.states[code].state is not ItemState.FAILED:
            raise Refused(f"{item.title} has not failed: there is nothing to stop for.")
        what = f"a decision, mend or stop: {item.title} failed"[:120]
        if Wait.objects.filter(job=job, what=what, ended_at__isnull=True).exists():
            raise Refused("It waits for that decision already.")
        return services.begin_wait(act, job, station="PROVE", kind="DECISION", what=what, who="", look_again_on=None)


# --- what the writers ask first --------------------------------------------------------------------------


def open_facts(job: Job) -> ProveFacts:
    """Lock the job and return its facts. :raises Refused: when the job has ended."""
    row = Job.objects.select_for_update().only("closed_at").get(pk=job.pk)
    if row.closed_at is not None:
        raise Refused("This job has ended. Nothing can be added to it.")
    return facts_of.facts([job.pk])[job.pk]


def find(facts: ProveFacts, code: str) -> tuple[Item, str]:
    """Return an item and its card's code. :raises Refused: when this machine has no such item."""
    standing = facts.states.get(code)
    if standing is None:
        raise Refused("This machine has no such item. Open the card again.")
    return standing.item, standing.home


def refuse_unsafe(facts: ProveFacts, item: Item | None = None) -> None:
    """Let nobody plug it in before it is safe to power, or past a failed stop item. :raises Refused: with each why."""
    if not facts.may_power(item):
        raise Refused(say.NOT_SAFE, *say.unsafe_lines(facts, item))


def _refuse_early(facts: ProveFacts, item: Item) -> None:
    """Let nobody read the leak before the heat cycles. :raises Refused: with what comes first."""
    first = facts.first_of(item)
    if first:
        raise Refused(f"Not yet. {say.first_words(first)}")


def usual_ml(machine: Machine) -> limits.Usual | None:
    """Return what earlier units of this model let through in 10 s (their middle), or None without any."""
    rows = Reading.objects.filter(
        item="debit", struck=False, corrected_by__isnull=True, value__isnull=False, job__machine__notes=machine.notes_id
    ).exclude(job__machine=machine)
    newest = rows.values("job__machine").annotate(last=Max("pk")).values("last")
    values = sorted(Reading.objects.filter(pk__in=newest).values_list("value", flat=True))
    return limits.Usual(values[len(values) // 2], len(values)) if values else None


# --- what is kept ----------------------------------------------------------------------------------------


def _seen(item: Item, card: str, typed: Typed) -> Found:
    chosen = item.answer(typed.answer)
    if chosen is None:
        raise Refused("Say what you saw: press one of the two.")
    return Found(
        card=card,
        item=item.code,
        title=item.title,
        outcome=Outcome.PASS if chosen.passed else Outcome.FAIL,
        state=chosen.words,
        limit_words=limits.seen_limit(item),
        note=typed.note,
    )


def _measured(facts: ProveFacts, item: Item, card: str, machine: Machine, typed: Typed) -> Found:
    values = _values(item, typed)
    usual = usual_ml(machine) if item.code == "debit" else None
    _ask_if_odd(facts, item, values, typed.sure, usual)
    insulation = item.measure is Measure.INSULATION_MOHM
    volts = (typed.test_volts or facts.unit.test_volts) if insulation else None
    limit = _limit(facts, item, usual)
    found = Found(
        card=card,
        item=item.code,
        title=f"Insulation at {volts} V" if insulation else item.title,
        outcome=limits.judge(item, limit, values, sign=typed.sign),
        value=min(values),
        value_to=max(values) if item.draws else None,
        series=[str(value) for value in typed.series] if item.draws else [],
        inputs={name: str(value) for name, value in typed.inputs.items()} if item.inputs else {},
        sign=typed.sign,
        unit=item.unit,
        limit_words=say.NO_LIMIT,
        instrument=typed.instrument,
        test_volts=volts,
        note=typed.note,
    )
    return replace(found, **_limit_columns(limit)) if limit else found


def _values(item: Item, typed: Typed) -> list[Decimal]:
    """Return what was read: one value, each of a series, or the one computed from several boxes."""
    if item.inputs:
        return [_net_watts(typed.inputs)]
    if item.draws:
        if len(typed.series) != len(item.draws):
            raise Refused(f"Type all {len(item.draws)} values.", field=item.boxes[0].name)
        if not any(typed.series):
            raise Refused("None of them is more than nothing. Type what each showed.", field=item.boxes[0].name)
        return list(typed.series)
    if typed.value is None:
        raise Refused("Type what the instrument shows.", field="value")
    return [typed.value]


def _net_watts(inputs: Mapping[str, Any]) -> Decimal:
    """Return the steam's net power to a whole watt. :raises Refused: beside the box that cannot be so."""
    grams, start_c, end_c, time_s = (inputs.get(name) for name in ("grams", "start_c", "end_c", "time_s"))
    if grams is None or start_c is None or end_c is None or time_s is None or not inputs.get("liquid"):
        raise Refused("Fill in every box of the steam test.", field="grams")
    if not end_c > start_c:
        raise Refused("The jug must end warmer than it began.", field="end_c")
    for name, value in (("grams", grams), ("time_s", time_s)):
        if not value > 0:
            raise Refused("This must be more than nothing.", field=name)
    return Decimal(round(heat.net_steam_watts(grams, start_c, end_c, time_s, heat.Liquid(inputs["liquid"]))))


def _ask_if_odd(facts: ProveFacts, item: Item, values: list[Decimal], sure: str, usual: limits.Usual | None) -> None:
    """Refuse what cannot be; ask about what hardly is. :raises Odd: until a second press says yes."""
    box = "time_s" if item.inputs else item.boxes[0].name
    if item.unit == "W" and max(values) > MOST_WATTS.value:
        raise Refused(f"Over {measure(MOST_WATTS.value, 'W')}: no machine of a home takes that.", field=box)
    about = " to ".join(number(value) for value in sorted({min(values), max(values)}))
    question = odd.reading(item, facts.unit, values, usual)
    if question and sure != about:
        raise acts.Odd(f"{question} Is that what it shows? Press again to record it.", about=about, field=box)


def _limit(facts: ProveFacts, item: Item, usual: limits.Usual | None) -> limits.BenchLimit | None:
    try:
        return limits.limit_for(item, facts.unit, usual)
    except limits.MissingFact as missing:
        raise Refused(str(missing), field="value") from missing


def _limit_columns(limit: limits.BenchLimit) -> dict[str, Any]:
    return {
        "limit_low": limit.low,
        "limit_high": limit.high,
        "limit_words": limit.words,
        "edition": limit.edition,
        "source": limit.source,
    }
