"""Words for readings, limits and shots, one way on every page and on paper."""

from datetime import date, datetime
from decimal import Decimal

from django.utils import timezone

from workshop.bench.cards import Item, Unit
from workshop.bench.facts.prove import ItemState, ProveFacts, Standing
from workshop.bench.limits import MissingFact, limit_for, seen_limit
from workshop.core.models import Reading
from workshop.core.templatetags.measures import NBSP, clock, measure, number, short_day
from workshop.core.words import Outcome

NOT_SAFE = "Not safe to power yet. With the plug out, first:"
RECALLED = "It is on a recall list: it stays unplugged until the recall is settled."
_SIGNS = {">": "over ", "<": "under "}


def found_words(reading: Reading) -> str:
    """Say what was found: "0.09 ohm", "over 99.9 megohm", "92 to 93 °C", "none seen"."""
    if reading.outcome == Outcome.NOT_POSSIBLE:
        return f"not possible: {reading.reason}"
    if reading.value is None:
        return reading.state
    if reading.value_to is not None:
        return f"{number(reading.value)} to {measure(reading.value_to, reading.unit)}"
    return f"{_SIGNS.get(reading.sign, '')}{measure(reading.value, reading.unit)}"


def looks_words(standing: Standing) -> str:
    """Say what was found, a second look side by side with the first: "0.09 ohm; second look 0.10 ohm"."""
    if standing.looks:
        return f"{found_words(standing.looks[0])}; second look {found_words(standing.looks[1])}"
    return found_words(standing.reading) if standing.reading else ""


def looks_by(standing: Standing) -> str:
    """Say who and when, of the second look too."""
    looks = standing.looks or ((standing.reading,) if standing.reading else ())
    return "; ".join(by_words(look.by, look.at) for look in looks)


def limit_words(standing: Standing, unit: Unit) -> str:
    """Say the limit of an item: as it stood at the reading, else as it stands now."""
    if standing.reading is not None and standing.reading.limit_words:
        return standing.reading.limit_words
    if standing.item.seen:
        return seen_limit(standing.item)
    try:
        limit = limit_for(standing.item, unit)
    except MissingFact:
        return "not known yet"
    return limit.words if limit else "recorded, no limit"


def by_words(by: object, at: datetime) -> str:
    """Say who and when: the day, as people say it."""
    return f"{by}, {short_day(timezone.localtime(at))}"


def by_words_at(reading: Reading) -> str:
    """Say who, which day and at what time."""
    return f"{reading.by}, {short_day(reading.at)} {clock(reading.at)}"


def saved_words(reading: Reading, today: date) -> str:
    """Say who saved it and at what time of day; the day too, when it was not today."""
    day = "" if timezone.localdate(reading.at) == today else f"{short_day(reading.at)} "
    return f"Saved {day}{clock(reading.at)}, {reading.by}"


def too_words(reading: Reading) -> str:
    """Say what is wrong with a failed reading: "7.9 bar is too low", "drips"."""
    if reading.value is None:
        return reading.state
    found = found_words(reading)
    if reading.limit_low is not None and (reading.value < reading.limit_low or reading.sign == "<"):
        return f"{found} is too low"
    if reading.limit_high is not None:
        far = reading.value_to if reading.value_to is not None else reading.value
        if far > reading.limit_high or reading.sign == ">":
            return f"{found} is too high"
    return f"{found} is outside the limit"


def unsafe_lines(facts: ProveFacts, item: Item | None = None) -> list[str]:
    """Say why nothing with mains (nor this item) may begin, a line each: what failed first, then what is open."""
    lines = [
        f"{s.item.title} failed: {too_words(s.reading)}. Mend it, then {_again(s)}."
        for s in facts.stopped(item)
        if s.reading is not None
    ]
    if facts.recalled:
        lines.append(RECALLED)
    if facts.case_open:
        lines.append("Shut the case, all screws in.")
    return lines + [
        f"{s.item.title}: {_wanted(s)}."
        for s in facts.before_power()
        if s.state is not ItemState.FAILED and not (facts.case_open and s.item.shuts_case)
    ]


def _wanted(standing: Standing) -> str:
    if standing.wants_second:
        return "look a second time, after the mains-side work" if standing.item.seen else "a second reading"
    return "look at it" if standing.item.seen else "measure it"


def _again(standing: Standing) -> str:
    return "look again" if standing.item.seen else "measure again"


def grams(value: Decimal) -> str:
    """Say grams with their unit."""
    return f"{number(value)}{NBSP}g"


def glyph(standing: Standing) -> str:
    """Return the ring of an item: only a stop item that failed is the stop mark."""
    if standing.wants_second:
        return "half"
    failed = standing.state is ItemState.FAILED
    return "error" if failed and not standing.item.stop else standing.state.value


def glyph_words(standing: Standing) -> str:
    """Say the ring of an item."""
    if standing.wants_second:
        return "Second look wanted:"
    failed = standing.state is ItemState.FAILED
    return "Out of its limit:" if failed and not standing.item.stop else _GLYPH_WORDS[standing.state]


_GLYPH_WORDS = {
    ItemState.OPEN: "To do:",
    ItemState.PASSED: "Done:",
    ItemState.FAILED: "Stop:",
    ItemState.WITHDRAWN: "To do again:",
    ItemState.NOT_POSSIBLE: "Not possible:",
}
