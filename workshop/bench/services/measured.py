"""What is kept of one item: what was seen, what an instrument showed, what a pass/fail tester said."""

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from workshop.bench import limits, odd
from workshop.bench.cards import Item
from workshop.bench.facts.prove import ProveFacts
from workshop.core import acts
from workshop.core.acts import Refused
from workshop.core.models import Instrument
from workshop.core.services import Found
from workshop.core.templatetags.measures import measure, number
from workshop.core.words import Outcome, Warmth
from workshop.trade.coffee.sources import MOST_WATTS
from workshop.trade.safety.electrical import Measure


@dataclass(frozen=True, slots=True)
class Typed:
    """What a person typed or pressed on a card. `value` is what the meter showed, leads and all."""

    value: Decimal | None = None
    value_to: Decimal | None = None
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


def measured(facts: ProveFacts, item: Item, card: str, typed: Typed, usual_ml: Decimal | None) -> Found:
    """Return what an instrument showed, held against its limit.

    :raises Refused: nothing typed, a fact of the limit is missing, or a tester without its set limit
    :raises Odd: a value that is hardly so, until a second press says yes
    """
    if typed.instrument is not None and typed.instrument.pass_fail_only:
        return _by_tester(facts, item, card, typed, typed.instrument)
    if typed.value is None:
        raise Refused("Type what the instrument shows.", field="value")
    if item.series and (typed.value_to is None or typed.value_to < typed.value):
        raise Refused("Type the lowest in the first box and the highest in the second.", field="value_to")
    _ask_if_odd(facts, item, typed, usual_ml)
    value = _without_leads(typed.value, typed.lead_ohm)
    limit = _limit(facts, item, usual_ml)
    outcome = limits.judge(item, limit, value, value_to=typed.value_to, sign=typed.sign)
    found = _found(facts, item, card, typed, limit, outcome)
    return replace(found, value=value, value_to=typed.value_to if item.series else None, sign=typed.sign)


def _without_leads(value: Decimal, lead_ohm: Decimal | None) -> Decimal:
    """Return the reading less what leads and extension cord measured alone."""
    if lead_ohm is None:
        return value
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
    outcome = limits.judge(item, limit, tester.set_limit, sign=sign)
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
        limit_words="recorded, no limit",
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


def _ask_if_odd(facts: ProveFacts, item: Item, typed: Typed, usual_ml: Decimal | None) -> None:
    """Refuse what cannot be; ask about what hardly is. :raises Odd: until a second press says yes."""
    values = [value for value in (typed.value, typed.value_to if item.series else None) if value is not None]
    if item.unit == "W" and max(values) > MOST_WATTS.value:
        raise Refused(f"Over {measure(MOST_WATTS.value, 'W')}: no machine of a home takes that.", field="value")
    about = " to ".join(number(value) for value in values)
    question = odd.reading(item, facts.unit, values, usual_ml)
    if question and typed.sure != about:
        raise acts.Odd(f"{question} Is that what it shows? Press again to record it.", about=about, field="value")


def _limit(facts: ProveFacts, item: Item, usual_ml: Decimal | None) -> limits.BenchLimit | None:
    try:
        return limits.limit_for(item, facts.unit, usual_ml)
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
