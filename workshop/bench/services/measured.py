"""What is kept of one item: what was seen, what an instrument showed, what a pass/fail tester said."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import time
from decimal import Decimal
from typing import Any

from workshop.bench import limits, odd, say
from workshop.bench.cards import Item
from workshop.bench.facts.prove import ProveFacts
from workshop.core import acts
from workshop.core.acts import Refused
from workshop.core.models import Instrument
from workshop.core.services import Found
from workshop.core.templatetags.measures import measure, number
from workshop.core.words import Outcome, Warmth
from workshop.trade.coffee import heat
from workshop.trade.coffee.sources import MOST_JUG_C, MOST_WATTS
from workshop.trade.safety.electrical import Measure


@dataclass(frozen=True, slots=True)
class Typed:
    """What a person typed or pressed on a card. `value` is what the meter showed, leads and all."""

    value: Decimal | None = None
    series: tuple[Decimal, ...] = ()
    inputs: Mapping[str, str | Decimal] = field(default_factory=dict)
    sign: str = ""
    answer: str = ""  # what was seen, or what a pass/fail tester said: good or bad
    instrument: Instrument | None = None
    test_volts: int | None = None
    test_current_a: Decimal | None = None
    leads_nulled: bool = False
    lead_ohm: Decimal | None = None
    warmth: str = ""
    note: str = ""
    second_look: bool = False
    read_at: time | None = None  # earlier today, where it is entered late
    sure: str = ""  # the values a person has said yes to


def seen(item: Item, card: str, typed: Typed) -> Found:
    """Return what was seen. :raises Refused: when neither answer was pressed"""
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


def measured(facts: ProveFacts, item: Item, card: str, typed: Typed, usual: limits.Usual | None) -> Found:
    """Return what an instrument showed, held against its limit.

    :raises Refused: nothing typed, a fact of the limit is missing, or a tester without its set limit
    :raises Odd: a value that is hardly so, until a second press says yes
    """
    if typed.instrument is not None and typed.instrument.pass_fail_only:
        return _by_tester(facts, item, card, typed, typed.instrument)
    values = _values(item, typed)
    _ask_if_odd(facts, item, typed, values, usual)
    if typed.lead_ohm and typed.leads_nulled:
        raise Refused(
            "The leads were nulled: nothing is left to take off. Clear this box or the tick.", field="lead_ohm"
        )
    if typed.lead_ohm is not None:
        values = [_without_leads(value, typed.lead_ohm) for value in values]
    limit = _limit(facts, item, usual)
    found = _found(facts, item, card, typed, limit, limits.judge(item, limit, values, sign=typed.sign))
    return replace(
        found,
        value=min(values),
        value_to=max(values) if item.draws else None,
        series=[str(value) for value in typed.series] if item.draws else [],
        inputs={name: str(value) for name, value in typed.inputs.items()} if item.inputs else {},
        sign=typed.sign,
    )


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
    if end_c > MOST_JUG_C.value:
        raise Refused("No jug gets over 100\u00a0°C. Is that Fahrenheit?", field="end_c")
    if not end_c > start_c:
        raise Refused("The jug must end warmer than it began.", field="end_c")
    for name, value in (("grams", grams), ("time_s", time_s)):
        if not value > 0:
            raise Refused("This must be more than nothing.", field=name)
    return Decimal(round(heat.net_steam_watts(grams, start_c, end_c, time_s, heat.Liquid(inputs["liquid"]))))


def _without_leads(value: Decimal, lead_ohm: Decimal) -> Decimal:
    """Return the reading less what leads and extension cord measured alone."""
    if lead_ohm > value:
        raise Refused("Leads and extension cord cannot be more than the whole reading.", field="lead_ohm")
    return value - lead_ohm


def _by_tester(facts: ProveFacts, item: Item, card: str, typed: Typed, tester: Instrument) -> Found:
    """A pass or a fail shows one side of the tester's set limit; set looser than the machine's, its pass is none."""
    if tester.set_limit is None:
        raise Refused(f"Nobody said what {tester} is set to. Say it at Our workshop.", field="instrument")
    if typed.answer not in _TESTER_SAYS:
        raise Refused("Say what the tester shows: press Pass or Fail.")
    passed = typed.answer == "good"
    limit = _limit(facts, item, None)
    good, bad = (">", "<") if item.measure is Measure.INSULATION_MOHM else ("<", ">")
    sign = good if passed else bad
    outcome = limits.judge(item, limit, [tester.set_limit], sign=sign)
    found = _found(facts, item, card, typed, limit, outcome)
    state = f"{_TESTER_SAYS[typed.answer]} at the tester's limit of {measure(tester.set_limit, item.unit)}"
    return replace(found, value=tester.set_limit, sign=sign, state=state)


_TESTER_SAYS = {"good": "passed", "bad": "failed"}


def _found(
    facts: ProveFacts, item: Item, card: str, typed: Typed, limit: limits.BenchLimit | None, outcome: Outcome
) -> Found:
    insulation = item.measure is Measure.INSULATION_MOHM
    volts = (typed.test_volts or facts.unit.test_volts) if insulation else None
    hot = item.code == "insulation_hot"
    found = Found(
        card=card,
        item=item.code,
        title=f"Insulation at {volts} V{', hot' if hot else ''}" if insulation else item.title,
        outcome=outcome,
        unit=item.unit,
        limit_words=say.NO_LIMIT,
        instrument=typed.instrument,
        calibration_due_on=typed.instrument.calibration_due_on if typed.instrument else None,
        test_volts=volts,
        test_current_a=typed.test_current_a,
        leads_nulled=typed.leads_nulled,
        lead_ohm=typed.lead_ohm,
        warmth=Warmth.HOT if hot else typed.warmth,
        note=typed.note,
    )
    return replace(found, **_limit_columns(limit)) if limit else found


def _ask_if_odd(facts: ProveFacts, item: Item, typed: Typed, values: list[Decimal], usual: limits.Usual | None) -> None:
    """Refuse what cannot be; ask about what hardly is. :raises Odd: until a second press says yes."""
    box = "time_s" if item.inputs else item.boxes[0].name
    if item.unit == "W" and max(values) > MOST_WATTS.value:
        raise Refused(f"Over {measure(MOST_WATTS.value, 'W')}: no machine of a home takes that.", field=box)
    about = " to ".join(number(value) for value in sorted({min(values), max(values)}))
    about = ", ".join(str(value) for value in typed.inputs.values()) or about
    question = odd.reading(item, facts.unit, values, usual)
    asked = (odd.jug(typed.inputs) if item.inputs else []) or ([(question, box)] if question else [])
    if asked and typed.sure != about:
        sentences, boxes = [sentence for sentence, _ in asked], [name for _, name in asked]
        sentences[-1] += " Is that what it shows? Press again to record it."
        raise acts.Odd(*sentences, about=about, field=boxes[0], fields=boxes)


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
        "own_limit": limit.own,
    }
