"""The shot chart: seconds against grinder setting, worked out once and drawn at several sizes.

`draw` turns a `ShotChart` (Decimals, as stored) into prepared numbers as text, with words in the language of the
moment; the one partial `templates/shared/_shot_chart.html` prints them on the page and on paper. Shape carries the
meaning (dot, ring, cross, dashed ring), so it reads in black and white. Geometry uses floats: nothing of it is stored.
"""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from django.utils.translation import gettext as _

from workshop.bench.chart_frame import Frame, Size, hatch, held, num, path_of, runs
from workshop.bench.chart_words import describe, label, plain

TICK_STEP_S = Decimal(5)
GLYPH_WIDTH = 0.58  # of the type size: the mean width of a letter or figure in our typeface, measured


@dataclass(frozen=True, slots=True)
class ShotPoint:
    """One pulled shot: its place on the grinder's travel, its time, and whether (and in which word) it is left out."""

    setting: Decimal
    time_s: Decimal
    spoilt: bool = False
    word: str = "spoilt"


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """The fitted time at a setting, with the edges between which about 8 in 10 shots should land."""

    setting: Decimal
    time_s: Decimal
    low_s: Decimal
    high_s: Decimal


@dataclass(frozen=True, slots=True)
class SettingLabel:
    """A setting in the words of its scale: "12", or "2:30" on a clock-face dial."""

    setting: Decimal
    words: str


@dataclass(frozen=True, slots=True)
class ShotChart:
    """What the chart shows; settings as travel from the low end of the scale, times in seconds.

    `finer` says which way along the scale grinds finer, so that finer always stands on the left.
    """

    points: tuple[ShotPoint, ...]
    curve: tuple[CurvePoint, ...]
    window_low_s: Decimal
    window_high_s: Decimal
    chosen: ShotPoint | None = None
    to_try: ShotPoint | None = None
    labels: tuple[SettingLabel, ...] = ()
    finer: str = "LOWER"
    time_words: str = "seconds"
    setting_words: str = "grinder"
    window_words: str = "aim here"


PAPER = Size("paper", 198, 124, 10.5)  # 70 mm wide: one unit is one point
WIDE = Size("wide", 718, 380, 16)
NARROW = Size("narrow", 358, 320, 16)


@dataclass(frozen=True, slots=True)
class Text:
    """Words at a place; `anchor` is start, middle or end."""

    x: str
    y: str
    words: str
    anchor: str
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """A mark on the chart, with its word and the line that leads to it."""

    x: str
    y: str
    leader: str = ""
    text: Text | None = None


@dataclass(frozen=True, slots=True)
class Drawing:
    """Prepared numbers for the partial: every field is text for one SVG attribute."""

    size: Size
    title: str
    band: str
    band_edges: tuple[str, ...]
    line: str
    hatch: str
    window: tuple[str, str, str, str]  # x, y, width, height
    axis: str
    ticks: str
    texts: tuple[Text, ...]
    shots: tuple[Spot, ...]
    spoilt: tuple[Spot, ...]
    chosen: Spot | None
    to_try: Spot | None
    dot: str
    ring: str


def draw(chart: ShotChart, size: Size) -> Drawing:
    """Return the chart drawn at a size. Raises ValueError without a shot or with an empty target time."""
    if not chart.points:
        raise ValueError("A shot chart needs at least one pulled shot.")
    if chart.window_low_s >= chart.window_high_s:
        raise ValueError("The target time must begin before it ends.")
    frame = _frame(chart, size)
    band, edges, line = _curve(chart, frame)
    return Drawing(
        size=size,
        title=describe(chart),
        band=band,
        band_edges=edges,
        line=line,
        hatch=hatch(frame, frame.y(chart.window_high_s), frame.y(chart.window_low_s)),
        window=_window(chart, frame),
        axis=f"M{num(frame.left)} {num(frame.top)}V{num(frame.bottom)}H{num(frame.right)}",
        ticks=_ticks(chart, frame),
        texts=_texts(chart, frame),
        shots=tuple(_spot(frame, p) for p in chart.points if not p.spoilt and _inside(frame, p)),
        spoilt=tuple(_spoilt(frame, p) for p in chart.points if p.spoilt and _inside(frame, p)),
        chosen=_named(chart, frame, chart.chosen, _("yours"), chart.to_try),
        to_try=_named(chart, frame, chart.to_try, _try_words(chart), chart.chosen),
        dot=num(size.font * 0.27),
        ring=num(size.font * 0.62),
    )


# --- the frame and its scales ----------------------------------------------------------------------------


def _frame(chart: ShotChart, size: Size) -> Frame:
    settings = [p.setting for p in chart.points] + [p.setting for p in chart.curve]
    settings += [p.setting for p in (chart.chosen, chart.to_try) if p]
    low, high = min(settings), max(settings)
    if low == high:
        low, high = low - 1, high + 1
    elif not chart.curve:
        low, high = low - (high - low) / 10, high + (high - low) / 10
    first, last = (low, high) if chart.finer == "LOWER" else (high, low)
    low_s, high_s = _time_range(chart)
    font = size.font
    return Frame(
        size, font * 2.6, size.width - 2.0, font * 1.75, size.height - font * 3.1, float(first), float(last),
        float(low_s), float(high_s),
    )  # fmt: skip


def _time_range(chart: ShotChart) -> tuple[Decimal, Decimal]:
    """The seconds from bottom to top: shots, curve and window, out to the next round number, never below nothing."""
    times = (
        [p.time_s for p in chart.points] + [p.time_s for p in chart.curve] + [chart.window_low_s, chart.window_high_s]
    )
    times += [p.time_s for p in (chart.chosen, chart.to_try) if p]
    air = (max(times) - min(times)) / 24
    low = _round_to(TICK_STEP_S, min(times) - air, ROUND_FLOOR)
    return max(low, Decimal(0)), _round_to(TICK_STEP_S, max(times) + air, ROUND_CEILING)


def _time_ticks(chart: ShotChart) -> list[Decimal]:
    """The window's edges, and the ends of the range where they stand clear of them."""
    low, high = _time_range(chart)
    room = (high - low) / 6
    ticks = [chart.window_low_s, chart.window_high_s]
    if chart.window_low_s - low >= room:
        ticks.append(low)
    if high - chart.window_high_s >= room:
        ticks.append(high)
    return sorted(ticks)


def _round_to(step: Decimal, value: Decimal, way: str) -> Decimal:
    return (value / step).to_integral_value(way) * step


def _setting_ticks(chart: ShotChart, frame: Frame) -> list[Decimal]:
    """The settings that were pulled, the chosen one first; one whose words would touch another's is left out."""
    first = [p.setting for p in (chart.chosen, chart.to_try) if p]
    rest = sorted({p.setting for p in chart.points} - set(first), key=lambda s: frame.x(s) - frame.left)
    kept: list[Decimal] = []
    for setting in [*dict.fromkeys(first), *_ends_first(rest)]:
        if all(_clear(chart, frame, setting, other) for other in kept):
            kept.append(setting)
    return sorted(kept)


def _ends_first(settings: list[Decimal]) -> list[Decimal]:
    return [*settings[:1], *settings[-1:], *settings[1:-1]] if len(settings) > 1 else settings


def _clear(chart: ShotChart, frame: Frame, a: Decimal, b: Decimal) -> bool:
    wide = sum(_width(frame.size, label(chart, setting)) for setting in (a, b)) / 2
    return abs(frame.x(a) - frame.x(b)) >= wide + frame.size.font * 0.4


def _ticks(chart: ShotChart, frame: Frame) -> str:
    long = frame.size.font * 0.4
    across = [f"M{num(frame.left - long)} {num(frame.y(t))}H{num(frame.left)}" for t in _time_ticks(chart)]
    down = [f"M{num(frame.x(s))} {num(frame.bottom)}v{num(long)}" for s in _setting_ticks(chart, frame)]
    return "".join(across + down)


# --- curve, band and window ------------------------------------------------------------------------------


def _curve(chart: ShotChart, frame: Frame) -> tuple[str, tuple[str, ...], str]:
    """Band outline, its edges and the middle line; the parts that leave the frame are cut, not bent."""
    if len(chart.curve) < 2:
        return "", (), ""
    low, mid, high = (
        [(frame.x(p.setting), frame.y(t)) for p, t in zip(chart.curve, times, strict=True)]
        for times in zip(*((p.low_s, p.time_s, p.high_s) for p in chart.curve), strict=True)
    )
    bottom, top = held(frame, low), held(frame, high)
    band = path_of([*top, *reversed(bottom)]) + "Z"
    edges = tuple(run for side in (top, bottom) for run in runs(frame, side))
    return band, edges, "".join(runs(frame, held(frame, mid)))


def _window(chart: ShotChart, frame: Frame) -> tuple[str, str, str, str]:
    top, bottom = frame.y(chart.window_high_s), frame.y(chart.window_low_s)
    return num(frame.left), num(top), num(frame.right - frame.left), num(bottom - top)


# --- words and marks -------------------------------------------------------------------------------------


def _texts(chart: ShotChart, frame: Frame) -> tuple[Text, ...]:
    font, edges = frame.size.font, (chart.window_low_s, chart.window_high_s)
    texts = [Text("0", num(font * 0.82), chart.time_words, "start", bold=True)]
    for time_s in _time_ticks(chart):
        y = frame.y(time_s) + font * 0.36
        texts.append(Text(num(frame.left - font * 0.65), num(y), plain(time_s), "end", bold=time_s in edges))
    chosen = chart.chosen.setting if chart.chosen else None
    for setting in _setting_ticks(chart, frame):
        x = num(_within(frame, frame.x(setting), label(chart, setting)))
        texts.append(Text(x, num(frame.bottom + font * 1.4), label(chart, setting), "middle", setting == chosen))
    y_window = num(frame.y(chart.window_high_s) - font * 0.42)
    texts.append(Text(num(frame.right), y_window, chart.window_words, "end", bold=frame.size is not PAPER))
    foot = num(frame.size.height - font * 0.3)
    middle = num((frame.left + frame.right) / 2)
    ends = ((_("finer"), num(frame.left), "start"), (_("coarser"), num(frame.right), "end"))
    texts += [Text(x, foot, words, anchor) for words, x, anchor in ends]
    return (*texts, Text(middle, foot, chart.setting_words, "middle"))


def _within(frame: Frame, x: float, words: str) -> float:
    half = _width(frame.size, words) / 2
    return min(x, frame.size.width - half)


def _named(chart: ShotChart, frame: Frame, point: ShotPoint | None, words: str, other: ShotPoint | None) -> Spot | None:
    """A ringed setting with its word: up and right of the falling curve, or, near the right end, down and left.

    Where another setting is ringed too, the one on the left has its word a line higher.
    """
    if point is None:
        return None
    x, y, font = frame.x(point.setting), frame.y(point.time_s), frame.size.font
    below = x + font * 2.2 + _width(frame.size, words) + _width(frame.size, chart.window_words) > frame.right
    lift = font * 1.4 if other and frame.x(other.setting) > x else 0.0
    way = -1 if below else 1
    end_x, end_y = x + way * font * 1.6, y - way * font * 2.5 - lift
    end_y = min(max(end_y, frame.top + font * 0.4), frame.bottom - font * 1.15)
    text_y = end_y + font * (0.75 if below else 0.1)
    text = Text(num(end_x + way * font * 0.25), num(text_y), words, "end" if below else "start", bold=True)
    return Spot(num(x), num(y), _leader((x, y), (end_x, end_y), font * 0.62 * 1.25), text)


def _leader(centre: tuple[float, float], end: tuple[float, float], ring: float) -> str:
    """The line from a ring's edge to its word."""
    (x, y), (end_x, end_y) = centre, end
    share = ring / max(((end_x - x) ** 2 + (end_y - y) ** 2) ** 0.5, ring)
    return f"M{num(x + (end_x - x) * share)} {num(y + (end_y - y) * share)}L{num(end_x)} {num(end_y)}"


def _try_words(chart: ShotChart) -> str:
    return _("try %(setting)s") % {"setting": label(chart, chart.to_try.setting)} if chart.to_try else ""


def _spot(frame: Frame, point: ShotPoint) -> Spot:
    return Spot(num(frame.x(point.setting)), num(frame.y(point.time_s)))


def _spoilt(frame: Frame, point: ShotPoint) -> Spot:
    x, y, font = frame.x(point.setting), frame.y(point.time_s), frame.size.font
    room = x + font + _width(frame.size, point.word) < frame.right
    side, anchor = (font * 0.7, "start") if room else (-font * 0.7, "end")
    arm = font * 0.3
    cross = (
        f"M{num(x - arm)} {num(y - arm)}l{num(2 * arm)} {num(2 * arm)}m0 {num(-2 * arm)}l{num(-2 * arm)} {num(2 * arm)}"
    )
    return Spot(num(x), num(y), cross, Text(num(x + side), num(y + font * 0.34), point.word, anchor))


def _inside(frame: Frame, point: ShotPoint) -> bool:
    return frame.low_s <= float(point.time_s) <= frame.high_s


def _width(size: Size, words: str) -> float:
    return len(words) * size.font * GLYPH_WIDTH
