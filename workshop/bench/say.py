"""Words for readings, limits and shots, one way on every page and on paper."""

from datetime import date, datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from workshop.bench.cards import Item, Unit
from workshop.bench.facts.prove import ItemState, ProveFacts, Standing
from workshop.bench.limits import MissingFact, limit_for, seen_limit
from workshop.core.models import Reading
from workshop.core.templatetags.measures import NBSP, clock, measure, number, short_day
from workshop.core.words import Outcome
from workshop.trade.coffee import heat
from workshop.trade.coffee.series import apart_share, series_stats

NOT_SAFE = "Not safe to power yet. With the plug out, first:"
NO_LIMIT = "recorded, no limit"
PAIR = 2  # two values have a difference, not a deviation
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
    return limit.words if limit else NO_LIMIT


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
    return f"{found} is too far apart" if reading.series else f"{found} is outside the limit"


def behind(reading: Reading) -> list[str]:
    """Say what a reading rests on, line by line: every value of a series with its mean, or the sum of a test."""
    if reading.series:
        return _series_lines([Decimal(value) for value in reading.series], reading.unit)
    return _steam_lines(reading) if reading.inputs else []


def _series_lines(values: list[Decimal], unit: str) -> list[str]:
    stats = series_stats(values)
    places = max(max(0, -int(value.normalize().as_tuple().exponent)) for value in values)
    finer = Decimal(1).scaleb(-places - 1)  # one figure more than was read
    told = f"Mean {measure(stats.mean.quantize(finer), unit)}, spread {measure(stats.spread, unit)}"
    if len(values) == PAIR:
        told += f": {number(round(100 * apart_share(*values), 1))}{NBSP}% of the mean"
    elif stats.sd is not None:
        told += f", standard deviation {measure(stats.sd.quantize(finer), unit)}"
    listed = ", ".join(number(value) for value in values)
    return [f"{listed}{NBSP}{unit}", told]


def _steam_lines(reading: Reading) -> list[str]:
    typed = reading.inputs
    liquid = heat.Liquid(typed["liquid"])
    grams, start_c, end_c, time_s = (Decimal(typed[name]) for name in ("grams", "start_c", "end_c", "time_s"))
    kj = heat.warming_kj(grams, start_c, end_c, liquid)
    takes, warmer = number(heat.HEAT_KJ_KG_K[liquid]), measure(end_c - start_c, "°C")
    return [
        f"{measure(grams, 'g')} of {liquid.value} from {number(start_c)} to {measure(end_c, '°C')}: {warmer} warmer",
        f"{measure(grams / 1000, 'kg')} x {takes} kJ a kg and degree x {warmer} = {measure(round(kj, 1), 'kJ')}",
        f"{measure(round(kj, 1), 'kJ')} in {measure(time_s, 's')} = {measure(reading.value, 'W')} net",
        "What the jug and the room took is not in it.",
    ]


def first_words(first: list[Standing]) -> str:
    """Say what comes before an item."""
    return f"First: {' and '.join(_small(standing.item.title) for standing in first)}."


def rest_words(facts: ProveFacts, item: Item) -> str:
    """Say since when the machine stands for this item, and until when it usually does; nothing where it need not."""
    since = facts.states.get(item.rest.after) if item.rest else None
    if item.rest is None or since is None or not since.done or since.reading is None:
        return ""
    ended, minutes = since.reading.at, int(item.rest.minutes)
    until = ended + timedelta(minutes=minutes)
    usual = f"{minutes // 60} hours" if minutes % 60 == 0 else f"{minutes} minutes"
    name = since.item.title.partition(",")[0]
    until_day = "" if timezone.localdate(until) == timezone.localdate(ended) else f"{short_day(until)} "
    return (
        f"{name} ended {short_day(ended)} at {clock(ended)}. {item.rest.words} is usually {usual} later, "
        f"about {until_day}{clock(until)}: common practice."
    )


def _small(title: str) -> str:
    return f"{title[:1].lower()}{title[1:]}"


def unsafe_lines(facts: ProveFacts, item: Item | None = None) -> list[str]:
    """Say why nothing with mains (nor this item) may begin, a line each: what failed first, then what is open."""
    lines = [
        f"{s.item.title} failed: {too_words(s.reading)}. Mend it, then {_again(s)}."
        for s in facts.stopped(item)
        if s.reading is not None
    ]
    if facts.case_open:
        lines.append("Shut the case, all screws in.")
    return lines + [
        f"{s.item.title}: {'look at it' if s.item.seen else 'measure it'}."
        for s in facts.before_power()
        if s.state is not ItemState.FAILED and not (facts.case_open and s.item.shuts_case)
    ]


def _again(standing: Standing) -> str:
    return "look again" if standing.item.seen else "measure again"


def grams(value: Decimal) -> str:
    """Say grams with their unit."""
    return f"{number(value)}{NBSP}g"


def glyph(standing: Standing) -> str:
    """Return the ring of an item: only a stop item that failed is the stop mark."""
    failed = standing.state is ItemState.FAILED
    return "error" if failed and not standing.item.stop else standing.state.value


def glyph_words(standing: Standing) -> str:
    """Say the ring of an item."""
    failed = standing.state is ItemState.FAILED
    return "Out of its limit:" if failed and not standing.item.stop else _GLYPH_WORDS[standing.state]


_GLYPH_WORDS = {
    ItemState.OPEN: "To do:",
    ItemState.PASSED: "Done:",
    ItemState.FAILED: "Stop:",
    ItemState.WITHDRAWN: "To do again:",
    ItemState.NOT_POSSIBLE: "Not possible:",
}
