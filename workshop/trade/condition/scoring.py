"""Condition score from 0.0 to 10.0, line by line. The rule is this app's own policy, not a standard.

A mark is looked at on the axes of ISO 4628-1 (how much, how big, how strong). Its cost has no fixed part and
grows in step with its length (scratch, dent, crack, missing piece) or its area (stain, rust), so that one
mark written down in several pieces costs the same. Sources: K-01 to K-04.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum

from workshop.trade.condition import sources
from workshop.trade.sources import Figure

RULE_VERSION = 2  # what a new walk begins under
BEST = Decimal(10)
POLICY_WORDS = "This score follows our own rule, written out line by line. It is not a standard's figure."

_COST_STEP = Decimal("0.001")
_SCORE_STEP = Decimal("0.1")


class Face(StrEnum):
    """The six faces that are looked at, seen by someone who stands before the machine."""

    FRONT = "front"
    BACK = "back"
    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    UNDER = "under"

    @property
    def label(self) -> str:
        """Plain words for the screen."""
        return "underneath" if self is Face.UNDER else self.value


class MarkKind(StrEnum):
    """What kind of flaw it is; each is measured in millimetres."""

    SCRATCH = "scratch"
    DENT = "dent"
    STAIN = "stain"
    RUST = "rust"
    CRACK = "crack"
    MISSING = "missing"

    @property
    def label(self) -> str:
        """Plain words for the screen."""
        return "missing piece" if self is MarkKind.MISSING else self.value

    @property
    def measured(self) -> str:
        """Which way its millimetres are measured."""
        return _MEASURED[self]


class Shows(StrEnum):
    """How strongly it shows, from the lightest to the strongest."""

    CLOSE_UP = "close_up"
    ARMS_LENGTH = "arms_length"
    FELT = "felt"

    @property
    def label(self) -> str:
        """Plain words for the screen and the sheet."""
        return _SHOWS_LABELS[self]


_MEASURED = {
    MarkKind.SCRATCH: "mm long",
    MarkKind.DENT: "mm wide",
    MarkKind.STAIN: "mm across",
    MarkKind.RUST: "mm across",
    MarkKind.CRACK: "mm long",
    MarkKind.MISSING: "mm across",
}
_SHOWS_LABELS = {
    Shows.CLOSE_UP: "seen only close up",
    Shows.ARMS_LENGTH: "seen at arm's length",
    Shows.FELT: "felt with a finger",
}


def _rule(value: str, unit: str) -> Figure:
    return Figure(Decimal(value), unit, sources.SCORE_RULE)


# Points of 10 for a mark on the front that is seen only close up. The scratch figure is set by K-04:
# 5 scratches of about 30 mm, 3 on the front and 2 on a side, take about 2 points off.
POINTS = {
    MarkKind.SCRATCH: _rule("0.015", "points/mm"),
    MarkKind.DENT: _rule("0.040", "points/mm"),
    MarkKind.STAIN: _rule("0.0004", "points/mm²"),
    MarkKind.RUST: _rule("0.0010", "points/mm²"),
    MarkKind.CRACK: _rule("0.060", "points/mm"),
    MarkKind.MISSING: _rule("0.030", "points/mm"),
}
BY_AREA = frozenset({MarkKind.STAIN, MarkKind.RUST})
STRENGTH = {
    Shows.CLOSE_UP: _rule("1.0", "times"),
    Shows.ARMS_LENGTH: _rule("1.6", "times"),
    Shows.FELT: _rule("2.4", "times"),
}
FACE_WEIGHT = {
    Face.FRONT: Figure(Decimal("1.0"), "times", sources.FACES),
    Face.LEFT: Figure(Decimal("0.5"), "times", sources.FACES),
    Face.RIGHT: Figure(Decimal("0.5"), "times", sources.FACES),
    Face.TOP: Figure(Decimal("0.5"), "times", sources.FACES),
    Face.BACK: Figure(Decimal("0.2"), "times", sources.FACES),
    Face.UNDER: Figure(Decimal("0.2"), "times", sources.FACES),
}


# What a mark on a loose part (handle, basket, tank, tray) weighs, by rule. Rule 1 did not look at loose parts.
LOOSE_WEIGHT = {
    1: Figure(Decimal(0), "times", sources.SCORE_RULE),
    2: Figure(Decimal("0.2"), "times", sources.LOOSE_RULE),
}


@dataclass(frozen=True, slots=True)
class Mark:
    """One cosmetic flaw. `zone` names a part of the face and does not change the cost; `part` is a loose part's name.

    Raises ValueError unless `size_mm` is above zero and the mark is on a face or on a loose part.
    """

    face: Face | None
    zone: str | None
    kind: MarkKind
    size_mm: Decimal
    shows: Shows
    part: str = ""

    def __post_init__(self) -> None:
        if (self.face is None) == (not self.part):
            raise ValueError("a mark is on a face or on a loose part, one of the two")
        if not self.size_mm.is_finite() or self.size_mm <= 0:
            raise ValueError("a mark has a size above zero, in millimetres")


@dataclass(frozen=True, slots=True)
class ScoreLine:
    """One mark and what it takes off, in points."""

    mark: Mark
    cost: Decimal
    words: str


@dataclass(frozen=True, slots=True)
class Score:
    """The score to one decimal, the lines it rests on in the order given, and the rule they follow."""

    value: Decimal
    lines: tuple[ScoreLine, ...]
    rule_version: int

    @property
    def taken_off(self) -> Decimal:
        """The sum of the lines, in points; it may pass 10."""
        return sum((line.cost for line in self.lines), Decimal(0))


def mark_cost(mark: Mark, rule_version: int = RULE_VERSION) -> Decimal:
    """Points a mark takes off under a rule, to three decimals. :raises ValueError: when there is no such rule."""
    amount = mark.size_mm * mark.size_mm if mark.kind in BY_AREA else mark.size_mm
    points = POINTS[mark.kind].value * amount
    weight = place_weight(mark.face, rule_version).value
    return (points * STRENGTH[mark.shows].value * weight).quantize(_COST_STEP, ROUND_HALF_UP)


def place_weight(face: Face | None, rule_version: int = RULE_VERSION) -> Figure:
    """Return what a place weighs: a face, or a loose part where it is None. :raises ValueError: no such rule."""
    if rule_version not in LOOSE_WEIGHT:
        raise ValueError(f"there is no rule {rule_version} of the condition score")
    return LOOSE_WEIGHT[rule_version] if face is None else FACE_WEIGHT[face]


def _short(number: Decimal) -> str:
    return f"{number:f}".rstrip("0").rstrip(".") if "." in f"{number:f}" else f"{number:f}"


def _words(mark: Mark, cost: Decimal) -> str:
    where = (mark.face.label.capitalize() if mark.face else mark.part) + (f", {mark.zone}" if mark.zone else "")
    what = f"{mark.kind.label}, {_short(mark.size_mm)} {mark.kind.measured}, {mark.shows.label}"
    return f"{where}: {what}: {_short(cost)} off"


def score(marks: Iterable[Mark], rule_version: int = RULE_VERSION) -> Score:
    """10 less the cost of every mark under a rule, never under 0, to one decimal (half up).

    The lines add up to what was taken off; the order of the marks never matters to the value.

    :raises ValueError: when there is no such rule
    """
    costs = ((mark, mark_cost(mark, rule_version)) for mark in marks)
    lines = tuple(ScoreLine(mark, cost, _words(mark, cost)) for mark, cost in costs)
    off = sum((line.cost for line in lines), Decimal(0))
    value = max(Decimal(0), BEST - off).quantize(_SCORE_STEP, ROUND_HALF_UP)
    return Score(value, lines, rule_version)
