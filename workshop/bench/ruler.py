"""A limit as a ruler 350 units wide, without a needle: the thick part is what is allowed."""

from dataclasses import dataclass
from decimal import Decimal
from math import ceil, floor, inf, log10

from workshop.bench.limits import BenchLimit
from workshop.core.templatetags.measures import number

LEFT, RIGHT = 8.0, 342.0
NICE = (1.0, 2.0, 2.5, 4.0, 5.0, 8.0, 10.0)
PARTS = 4
BOILS_C = 100.0  # an open cup gets no hotter
LABEL_ROOM = 52.0  # units: closer than this two labels touch


@dataclass(frozen=True, slots=True)
class Tick:
    """One mark on the ruler."""

    x: str
    label: str
    heavy: bool = False
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class Ruler:
    """What `shared/_ruler.html` prints."""

    title: str
    from_x: str
    width: str
    ticks: list[Tick]
    low_words: str = ""
    high_words: str = ""


def ruler(limit: BenchLimit, *, outside: str, unit: str = "") -> Ruler | None:
    """Return the ruler of a limit; None for one with no ends. `outside` is the word beyond an end ("stop").

    `unit`: of the limit; water's scale ends where it boils.
    """
    low, high = _float(limit.low), _float(limit.high)
    if low is None and high is None:
        return None
    first, last = _range(low, high, unit)
    start, end = (first if low is None else low), (last if high is None else high)
    heavy = [(value, words) for value, words in ((low, limit.low), (high, limit.high)) if value is not None]
    marks = [Tick(_x(value, first, last), number(words), heavy=True) for value, words in heavy]
    ends = [(first, "start"), (last, "end")] if len(heavy) > 1 else _steps(first, last)
    marks += _plain(ends, [value for value, _ in heavy], first, last)
    return Ruler(
        title=limit.words,
        from_x=_x(start, first, last),
        width=f"{_at(end, first, last) - _at(start, first, last):.1f}",
        ticks=sorted(marks, key=lambda tick: float(tick.x)),
        low_words=outside if low is not None else "",
        high_words=outside if high is not None else "",
    )


def _range(low: float | None, high: float | None, unit: str) -> tuple[float, float]:
    if low is None:
        return 0.0, _nice((high or 0.0) * 1.4)
    if high is None:
        last = min(_nice(low * 2), _ceiling(unit, low))
        # Cut short, it begins where a quarter of it is a whole ten and the limit lies in its middle part.
        return (max(0.0, last - 40.0 * ceil((last - low) / 20.0)) if last < low * 2 else 0.0), last
    air = (high - low) * 0.6
    step = 10.0 ** floor(log10(air)) if air > 0 else 1.0
    first, last = floor((low - air) / step + 1e-9) * step, ceil((high + air) / step - 1e-9) * step
    return max(0.0, first), min(last, _ceiling(unit, high))


def _ceiling(unit: str, end: float) -> float:
    """Return what a scale of this unit never goes beyond; a limit above it keeps its own room."""
    return BOILS_C if unit == "°C" and end < BOILS_C else inf


def _nice(value: float) -> float:
    if value <= 0:
        return 1.0
    scale = 10.0 ** floor(log10(value))
    return next(nice * scale for nice in NICE if nice * scale >= value - 1e-9)


def _steps(first: float, last: float) -> list[tuple[float, str]]:
    step = (last - first) / PARTS
    places = [(first + step * part, "middle") for part in range(1, PARTS)]
    return [(first, "start"), *places, (last, "end")]


def _plain(places: list[tuple[float, str]], heavy: list[float], first: float, last: float) -> list[Tick]:
    ticks = []
    for value, anchor in places:
        near = any(abs(_at(value, first, last) - _at(each, first, last)) < LABEL_ROOM for each in heavy)
        label = "" if near else number(Decimal(f"{value:.4g}"))
        ticks.append(Tick(_x(value, first, last), label, anchor=anchor))
    return ticks


def _at(value: float, first: float, last: float) -> float:
    return LEFT + (value - first) / (last - first) * (RIGHT - LEFT)


def _x(value: float, first: float, last: float) -> str:
    return f"{_at(value, first, last):.1f}"


def _float(value: Decimal | None) -> float | None:
    return None if value is None else float(value)
