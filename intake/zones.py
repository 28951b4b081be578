"""The six faces as they are drawn: zones in words, and where a mark's number stands in the drawing.

A face is drawn as one looks at it. Left and right are those of a person before the machine, so on the sides the
columns are its front and back, and on top and underneath the rows are.
"""

from collections.abc import Collection
from dataclasses import dataclass

from intake.words import Zone
from workshop.trade.condition.scoring import Face

# One drawing is 240 by 240 units; the machine stands inside the grid, marks without a zone stand under it.
SIDE, GRID, CELL = 240, 24, 64
SHORT = 210  # high enough where every mark has a zone
LOOSE_Y = 228
FACES = tuple(Face)

_COLUMNS = {Face.LEFT: ("back", "front"), Face.RIGHT: ("front", "back"), Face.BACK: ("left", "right")}
_ROWS = {Face.TOP: ("back", "front"), Face.UNDER: ("front", "back")}
_CELLS = {zone: (index % 3, index // 3) for index, zone in enumerate(Zone)}


@dataclass(frozen=True, slots=True)
class ZoneBox:
    """A zone of one face: its code, its words, its corner in the drawing."""

    code: str
    words: str
    x: int
    y: int
    side: int = CELL


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a mark's number stands in the drawing of its face."""

    number: int
    x: int
    y: int


def zone_words(face: Face, zone: str) -> str:
    """Return a zone in words: "low left", on a side "low front"; nothing when the whole face is meant."""
    if not zone:
        return ""
    column, row = _CELLS[Zone(zone)]
    first, last = _COLUMNS.get(face, ("left", "right"))
    high, low = _ROWS.get(face, ("high", "low"))
    words = [(high, "", low)[row], (first, "", last)[column]]
    return " ".join(word for word in words if word) or "middle"


def where(face: Face, zone: str) -> str:
    """Return a place in words: "Left, low front"."""
    words = zone_words(face, zone)
    return face.label.capitalize() + (f", {words}" if words else "")


def zone_boxes(face: Face) -> list[ZoneBox]:
    """Return the nine zones of a face, row by row."""
    return [
        ZoneBox(zone.value, zone_words(face, zone), GRID + CELL * column, 12 + CELL * row)
        for zone, (column, row) in _CELLS.items()
    ]


def spots(marks: Collection[tuple[int, str]]) -> list[Spot]:
    """Return where the numbers of one face stand: (number, zone) pairs, side by side where a zone holds several."""
    taken: dict[str, int] = {}
    found = []
    for number, zone in marks:
        place = taken.get(zone, 0)
        taken[zone] = place + 1
        found.append(_spot(number, zone, place))
    return found


def _spot(number: int, zone: str, place: int) -> Spot:
    if not zone:
        return Spot(number, 18 + 26 * (place % 9), LOOSE_Y)
    column, row = _CELLS[Zone(zone)]
    across, down = (32, 8, 56)[place % 3], (32, 8, 56)[place // 3 % 3]
    return Spot(number, GRID + CELL * column + across, 12 + CELL * row + down)
