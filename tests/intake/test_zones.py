"""Zones in words, and numbers that do not hide each other."""

import pytest

from intake import pages, zones
from intake.words import Zone
from intake.zones import Spot
from tests.intake import factories
from workshop.trade.condition.scoring import Face


@pytest.mark.parametrize(
    ("face", "zone", "words"),
    [
        (Face.FRONT, "", "Front"),
        (Face.FRONT, "high-left", "Front, high left"),
        (Face.FRONT, "middle", "Front, middle"),
        (Face.FRONT, "low-middle", "Front, low"),
        (Face.FRONT, "middle-right", "Front, right"),
        (Face.LEFT, "low-right", "Left, low front"),
        (Face.LEFT, "low-left", "Left, low back"),
        (Face.RIGHT, "low-left", "Right, low front"),
        (Face.BACK, "high-right", "Back, high right"),
        (Face.TOP, "low-left", "Top, front left"),
        (Face.TOP, "high-middle", "Top, back"),
        (Face.UNDER, "high-left", "Underneath, front left"),
    ],
)
def test_a_place_in_words(face, zone, words):
    assert zones.where(face, zone) == words


@pytest.mark.parametrize("face", list(Face))
def test_nine_zones_have_nine_words_and_do_not_overlap(face):
    boxes = zones.zone_boxes(face)

    assert len({box.words for box in boxes}) == 9
    assert sorted({(box.x, box.y) for box in boxes}) == [(x, y) for x in (24, 88, 152) for y in (12, 76, 140)]
    assert [box.code for box in boxes] == Zone.values


def test_nine_marks_in_one_zone_stand_apart():
    spots = zones.spots([(number, "middle") for number in range(1, 10)])

    assert len({(spot.x, spot.y) for spot in spots}) == 9
    assert {88 <= spot.x <= 152 and 76 <= spot.y <= 140 for spot in spots} == {True}


def test_a_mark_without_a_zone_stands_under_the_drawing():
    assert zones.spots([(4, "")]) == [Spot(4, 18, zones.LOOSE_Y)]


def test_a_drawing_is_as_high_as_its_marks_need():
    bare = pages.drawing(Face.LEFT, [])
    zoned = pages.drawing(Face.LEFT, [factories.MarkFactory.build(walk=None, face="left", zone="middle", by=None)])
    loose = pages.drawing(Face.LEFT, [factories.MarkFactory.build(walk=None, face="left", number=3, by=None)])

    assert [d.height for d in (bare, zoned, loose)] == [zones.SHORT, zones.SHORT, zones.SIDE]
    assert (bare.words, loose.words) == ("Left, no mark", "Left, mark 3")
