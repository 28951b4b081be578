"""Words for readings, limits and shots, one way on every page and on paper."""

from datetime import date, datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from workshop.bench.cards import Item, Unit
from workshop.bench.facts.prove import ItemState, ProveFacts, Standing
from workshop.bench.limits import BenchLimit, MissingFact, limit_for, seen_limit
from workshop.bench.models import Coffee, Shot
from workshop.core.models import Reading
from workshop.core.templatetags.measures import NBSP, clock, measure, number, short_day
from workshop.core.templatetags.measures import day as day_words
from workshop.core.words import Outcome, small
from workshop.trade.coffee import heat
from workshop.trade.coffee.series import apart_share, series_stats

NOT_SAFE = "Not safe to power yet. With the plug out, first:"
NO_LIMIT = "recorded, no limit"
PAIR = 2  # two values have a difference, not a deviation
RECALLED = "It is on a recall list: it stays unplugged until the recall is settled."
_SIGNS = {">": "over ", "<": "under "}


def found_words(reading: Reading) -> str:
    """Say what was found: "0.09 ohm", "over 99.9 megohm", "92 to 93 °C", "none seen"."""
    if reading.outcome == Outcome.NOT_POSSIBLE:
        return f"not possible: {reading.reason}"
    if reading.state or reading.value is None:
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
    return "; ".join(reading_by(look) for look in looks)


def limit_words(standing: Standing, unit: Unit) -> str:
    """Say the limit of an item: what its reading is held against, as it stood at the reading, else as it is now.

    A reading that lapsed with the case is held against nothing: it will be read again, by the limit as it is now.
    """
    if standing.limit is not None:
        return standing.limit.words
    counts = standing.reading is not None and standing.state is not ItemState.WITHDRAWN
    if counts and standing.reading and standing.reading.limit_words:
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
    return f"{reading.by}, {short_day(reading.at)} {entered(reading)}"


def entered(reading: Reading) -> str:
    """Say at what time of day: "10:42"; of a late entry both times: "entered 16:10 for 14:30"."""
    late = reading.read_at
    return f"entered {clock(reading.at)} for {clock(late)}" if late else clock(reading.at)


def reading_by(reading: Reading) -> str:
    """Say who measured, and when: the outside tester of a report, else our own person."""
    report = reading.report
    return f"{report.who}, {short_day(report.measured_on)}" if report else by_words(reading.by, reading.at)


def how_words(reading: Reading, limit: BenchLimit | None = None) -> str:
    """Say how it was measured, beside the reading: leads, current, hot or cold, instrument, our own limit.

    `limit`: what it is held against today; without one, as it stood at the reading.
    """
    said = []
    if reading.report is not None:
        said.append(f"report {reading.report.number}" if reading.report.number else "")
        said.append(f"measured at {reading.report.measured_at:%H:%M}" if reading.report.measured_at else "")
        said.append(reading.report.words)
    if reading.lead_ohm is not None:
        shown, leads = measure(reading.shown_value, reading.unit), measure(reading.lead_ohm, reading.unit)
        said.append(f"{shown} shown, {leads} of leads and extension cord taken off")
    said += ["leads nulled"] if reading.leads_nulled else []
    said += [f"at {current(reading.test_current_a)}"] if reading.test_current_a else []
    said += [f"machine {reading.get_warmth_display()}"] if reading.warmth else []
    return "; ".join(
        each for each in (*said, overdue_words(reading), limit.own if limit else reading.own_limit) if each
    )


def overdue_words(reading: Reading) -> str:
    """Say that the instrument's calibration had run out; empty while it had not."""
    if not reading.overdue or reading.instrument is None:
        return ""
    return f"calibration of {reading.instrument} was due {day_words(reading.calibration_due_on)}"


def current(amps: Decimal | None) -> str:
    """Say a test current: "200 mA", "25 A"."""
    if amps is None:
        return ""
    return measure(amps * 1000, "mA") if amps < 1 else measure(amps, "A")


def saved_words(reading: Reading, today: date) -> str:
    """Say who saved it and at what time of day; the day too, when it was not today."""
    day = "" if timezone.localdate(reading.at) == today else f"{short_day(reading.at)} "
    return f"Saved {day}{entered(reading)}, {reading.by}"


def too_words(reading: Reading) -> str:
    """Say what is wrong with a failed reading: "7.9 bar is too low", "drips"."""
    if reading.value is None:
        return reading.state
    found = found_words(reading)
    if reading.state:  # a pass/fail tester: a pass that fails was a pass at a looser limit
        return f"{found}, but {reading.limit_words} is asked" if reading.state.startswith("passed") else found
    if range_ := _proves_nothing(reading):
        return f"{found} proves nothing: measure on a {range_} range"
    if reading.limit_low is not None and (reading.value < reading.limit_low or reading.sign == "<"):
        return f"{found} is too low"
    if reading.limit_high is not None:
        far = reading.value_to if reading.value_to is not None else reading.value
        if far > reading.limit_high or reading.sign == ">":
            return f"{found} is too high"
    return f"{found} is too far apart" if reading.series else f"{found} is outside the limit"


def _proves_nothing(reading: Reading) -> str:
    """Return the range to measure on where the meter's end of range lies on the wrong side of the limit."""
    value, low, high = reading.value, reading.limit_low, reading.limit_high
    if reading.sign == ">" and low is not None and value is not None and value < low:
        return "higher"
    return "lower" if reading.sign == "<" and high is not None and value is not None and value > high else ""


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
    return f"First: {' and '.join(small(standing.item.title) for standing in first)}."


def rest_words(facts: ProveFacts, item: Item) -> str:
    """Say since when the machine stands for this item, and until when it usually does; nothing where it need not."""
    since = facts.states.get(item.rest.after) if item.rest else None
    if item.rest is None or since is None or not since.done or since.reading is None:
        return ""
    ended, minutes = since.reading.done_at, int(item.rest.minutes)
    until = ended + timedelta(minutes=minutes)
    usual = f"{minutes // 60} hours" if minutes % 60 == 0 else f"{minutes} minutes"
    name = since.item.title.partition(",")[0]
    until_day = "" if timezone.localdate(until) == timezone.localdate(ended) else f"{short_day(until)} "
    return (
        f"{name} ended {short_day(ended)} at {clock(ended)}. {item.rest.words} is usually {usual} later, "
        f"about {until_day}{clock(until)}: common practice."
    )


def unsafe_lines(facts: ProveFacts, item: Item | None = None) -> list[str]:
    """Say why nothing with mains (nor this item) may begin, a line each: what failed first, then what is open."""
    lines = [
        f"{s.item.title} failed: {too_words(s.reading)}. Mend it, then {_again(s)}."
        for s in facts.stopped(item)
        if s.reading is not None
    ]
    if facts.recalled:
        lines.append(RECALLED)
    shut = "Shut the case, all screws in."
    return lines + [
        shut if facts.case_open and s.item.shuts_case else f"{s.item.title}: {_wanted(s)}."
        for s in facts.before_power()
        if s.state is not ItemState.FAILED
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


def bag_words(bag: Coffee) -> str:
    """Say a bag of coffee with its days: "house beans, medium, roasted 5 May, opened 8 May"."""
    days = (("roasted", bag.roasted_on), ("opened", bag.opened_on))
    return ", ".join([str(bag), *(f"{what} {short_day(when)}" for what, when in days if when)])


def gauge_words(shot: Shot) -> str:
    """Say what the gauge showed in a shot: "9.2 bar", "10 o'clock to 2 o'clock"; empty where nobody looked."""
    if shot.gauge_bar is not None:
        return measure(shot.gauge_bar, "bar")
    return " to ".join(end for end in (shot.gauge_from, shot.gauge_to) if end)


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
