"""Dial glyphs: the pointer must stand where the clock says, worked out by hand."""

from decimal import Decimal

import pytest

from handover import drawings


def ends(path: str) -> tuple[float, ...]:
    return tuple(float(number) for part in path.strip("M").split("L") for number in part.split())


@pytest.mark.parametrize(
    ("hour", "tip"), [("0", (50, 10)), ("3", (90, 50)), ("6", (50, 90)), ("9", (10, 50)), ("1", (70, 15.36))]
)
def test_the_knob_points_at_its_hour(hour: str, tip: tuple[float, float]) -> None:
    assert ends(drawings.clock_dial(Decimal(hour)).pointer)[2:] == pytest.approx(tip, abs=0.01)


def test_half_past_six_points_a_little_left_of_straight_down() -> None:
    x, y = ends(drawings.handle(Decimal("6.5")).pointer)[2:]
    assert (36 < x < 50, 95 < y < 99) == (True, True)


def test_a_zone_runs_clockwise_over_twelve_and_has_no_needle() -> None:
    glyph = drawings.gauge_zone(Decimal(10), Decimal(2))
    assert glyph.pointer == ""
    # 4 hours of 12 is the small arc; 60 degrees either side of the top: 50 -/+ 36 sin 60, 50 - 36 cos 60
    assert glyph.arc == "M18.82 32A36 36 0 0 1 81.18 32"


def test_a_zone_over_more_than_half_the_face_takes_the_large_arc() -> None:
    assert " 0 1 1 " in drawings.gauge_zone(Decimal(7), Decimal(5)).arc


def test_a_face_has_twelve_ticks() -> None:
    assert drawings.clock_dial(Decimal(0)).ticks.count("M") == 12
