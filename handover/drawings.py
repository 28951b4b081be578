"""Dial glyphs as prepared numbers: a clock-face dial, the handle's lock-in place, a gauge zone.

Pure: clock hours (Decimal) in, text for SVG attributes out, in a 100-unit box round (50, 50). The partials
`templates/handover/_sheet_dial_<kind>.html` print them. A zone has no needle, or it would read as a measurement.
Geometry uses floats: nothing of it is stored.
"""

import math
from dataclasses import dataclass
from decimal import Decimal

HOURS = 12
CENTRE = 50.0


@dataclass(frozen=True, slots=True)
class Glyph:
    """Text for the attributes of one glyph: ticks, a pointer and, for a zone, its sector and arc."""

    ticks: str
    pointer: str = ""
    sector: str = ""
    arc: str = ""


def clock_dial(at_h: Decimal) -> Glyph:
    """A knob on a clock face, pointing at the hour `at_h` (2.5 is half past 2)."""
    return Glyph(ticks=_ticks(39, 45), pointer=_line(at_h, 9, 40))


def handle(at_h: Decimal) -> Glyph:
    """The filter handle seen from above, locked in at the hour `at_h` (6 points at you)."""
    return Glyph(ticks=_ticks(43, 49), pointer=_line(at_h, 24, 49))


def gauge_zone(from_h: Decimal, to_h: Decimal) -> Glyph:
    """A gauge whose needle should stand between two hours, read clockwise; no needle is drawn."""
    return Glyph(ticks=_ticks(39, 45), sector=_sector(from_h, to_h, 33), arc=_arc(from_h, to_h, 36))


def _at(hour: Decimal | int, radius: float) -> tuple[float, float]:
    turn = float(hour) / HOURS * 2 * math.pi
    return CENTRE + radius * math.sin(turn), CENTRE - radius * math.cos(turn)


def _line(hour: Decimal | int, inner: float, outer: float) -> str:
    (x1, y1), (x2, y2) = _at(hour, inner), _at(hour, outer)
    return f"M{_n(x1)} {_n(y1)}L{_n(x2)} {_n(y2)}"


def _ticks(inner: float, outer: float) -> str:
    return "".join(_line(hour, inner, outer) for hour in range(HOURS))


def _arc(from_h: Decimal, to_h: Decimal, radius: float) -> str:
    (x1, y1), (x2, y2) = _at(from_h, radius), _at(to_h, radius)
    # Decimal's % takes the sign of what is divided, so a zone over twelve needs one turn added.
    wide = int((to_h - from_h + HOURS) % HOURS > HOURS / 2)
    return f"M{_n(x1)} {_n(y1)}A{radius} {radius} 0 {wide} 1 {_n(x2)} {_n(y2)}"


def _sector(from_h: Decimal, to_h: Decimal, radius: float) -> str:
    return f"{_arc(from_h, to_h, radius)}L{_n(CENTRE)} {_n(CENTRE)}Z"


def _n(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
