"""The shot chart's geometry: the frame with its two scales, paths cut at its edges, hatching, coordinates as text.

Pure, and in floats: nothing of it is stored.
"""

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise


@dataclass(frozen=True, slots=True)
class Size:
    """A drawing size in its own units, with the size of its words."""

    code: str
    width: int
    height: int
    font: float


@dataclass(frozen=True, slots=True)
class Frame:
    """The plot's inside and the two scales."""

    size: Size
    left: float
    right: float
    top: float
    bottom: float
    first: float
    last: float
    low_s: float
    high_s: float

    def x(self, setting: Decimal | float) -> float:
        """How far from the drawing's left edge a setting stands."""
        return self.left + (float(setting) - self.first) / (self.last - self.first) * (self.right - self.left)

    def y(self, time_s: Decimal | float) -> float:
        """How far from the drawing's upper edge a time stands."""
        share = (float(time_s) - self.low_s) / (self.high_s - self.low_s)
        return self.bottom - share * (self.bottom - self.top)


def held(frame: Frame, path: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The path with its crossings of the frame added and what lies outside pressed onto the frame's edge."""
    full = [path[0]]
    for (x1, y1), (x2, y2) in pairwise(path):
        cuts = [(edge - y1) / (y2 - y1) for edge in (frame.top, frame.bottom) if (y1 - edge) * (y2 - edge) < 0]
        full += [(x1 + share * (x2 - x1), y1 + share * (y2 - y1)) for share in sorted(cuts)] + [(x2, y2)]
    return [(x, min(max(y, frame.top), frame.bottom)) for x, y in full]


def runs(frame: Frame, path: list[tuple[float, float]]) -> list[str]:
    """The stretches of a held path that do not run along the frame's top or bottom edge."""
    found: list[list[tuple[float, float]]] = []
    for here, there in pairwise(path):
        if here[1] == there[1] and here[1] in (frame.top, frame.bottom):
            continue
        if found and found[-1][-1] == here:
            found[-1].append(there)
        else:
            found.append([here, there])
    return [path_of(run) for run in found]


def hatch(frame: Frame, top: float, bottom: float) -> str:
    """Slanted lines from `top` down to `bottom` over the frame's width, as one path: a pattern's id could clash."""
    tall, step, lines = bottom - top, frame.size.font * 0.36, []
    start = frame.left - tall + step
    while start < frame.right:
        x1, x2 = max(start, frame.left), min(start + tall, frame.right)
        lines.append(f"M{num(x1)} {num(bottom - (x1 - start))}L{num(x2)} {num(bottom - (x2 - start))}")
        start += step
    return "".join(lines)


def path_of(points: list[tuple[float, float]]) -> str:
    """The points joined by straight lines."""
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points)


def num(value: float) -> str:
    """A coordinate with at most two decimals, written the same on every machine."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
