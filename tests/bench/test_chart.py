"""The shot chart: true to scale, in words, the same marks at every size."""

import re
from dataclasses import replace
from decimal import Decimal

import pytest

from workshop.bench.chart import (
    NARROW,
    PAPER,
    WIDE,
    CurvePoint,
    Drawing,
    SettingLabel,
    ShotChart,
    ShotPoint,
    Size,
    describe,
    draw,
)

SIZES = [PAPER, WIDE, NARROW]


def shot(setting: str, time_s: str, *, spoilt: bool = False) -> ShotPoint:
    return ShotPoint(Decimal(setting), Decimal(time_s), spoilt)


def line(*rows: tuple[str, str, str, str]) -> tuple[CurvePoint, ...]:
    return tuple(CurvePoint(*(Decimal(value) for value in row)) for row in rows)


CHART = ShotChart(
    points=(shot("10", "35"), shot("12", "27"), shot("15", "20"), shot("13", "13", spoilt=True)),
    curve=line(("9", "38", "33", "44"), ("12", "27.5", "24", "32"), ("16", "18", "15", "22")),
    window_low_s=Decimal(24),
    window_high_s=Decimal(31),
    chosen=shot("12", "27"),
)


def label_of(drawing: Drawing, words: str) -> tuple[float, float]:
    (found,) = [text for text in drawing.texts if text.words == words]
    return float(found.x), float(found.y)


@pytest.mark.parametrize("size", SIZES)
def test_times_stand_to_scale_between_their_ticks(size: Size) -> None:
    drawing = draw(CHART, size)
    low, high = label_of(drawing, "24")[1], label_of(drawing, "31")[1]
    per_second = (low - high) / 7
    ys = [float(spot.y) + size.font * 0.36 for spot in drawing.shots]
    assert ys == pytest.approx([low - (t - 24) * per_second for t in (35, 27, 20)], abs=0.05)


@pytest.mark.parametrize("size", SIZES)
def test_settings_stand_to_scale(size: Size) -> None:
    xs = [float(spot.x) for spot in draw(CHART, size).shots]
    assert (xs[1] - xs[0]) / (xs[2] - xs[0]) == pytest.approx(2 / 5, abs=0.01)


def test_finer_stands_on_the_left_whichever_way_the_dial_runs() -> None:
    higher = replace(CHART, finer="HIGHER")
    xs = [float(spot.x) for spot in draw(higher, PAPER).shots]
    assert xs == sorted(xs, reverse=True)
    assert label_of(draw(higher, PAPER), "finer")[0] < label_of(draw(higher, PAPER), "coarser")[0]


def test_only_pulled_settings_and_the_window_are_named() -> None:
    words = [text.words for text in draw(CHART, WIDE).texts]
    assert words == [
        "seconds", "10", "24", "31", "40", "10", "12", "13", "15", "aim here", "finer", "coarser", "grinder",
    ]  # fmt: skip
    assert [text.words for text in draw(CHART, WIDE).texts if text.bold][1:4] == ["24", "31", "12"]


def test_settings_too_close_to_read_keep_the_chosen_one() -> None:
    near = replace(CHART, points=(*CHART.points, shot("12.2", "26"), shot("11.8", "28")))
    words = [text.words for text in draw(near, PAPER).texts]
    assert ("12" in words, "12.2" in words, "11.8" in words) == (True, False, False)


def test_a_clock_dial_is_labelled_like_a_clock() -> None:
    labelled = replace(CHART, labels=(SettingLabel(Decimal(12), "2:30"),))
    assert label_of(draw(labelled, PAPER), "2:30")[0] > 0
    assert "2:30 gave 27 s" in describe(labelled)


def test_a_spoilt_shot_is_a_cross_with_its_word_not_a_dot() -> None:
    drawing = draw(CHART, WIDE)
    assert (len(drawing.shots), len(drawing.spoilt)) == (3, 1)
    assert drawing.spoilt[0].text.words == "spoilt"


@pytest.mark.parametrize("size", [WIDE, NARROW])
@pytest.mark.parametrize("setting", ["11", "11.5", "12.5", "13"])
def test_the_setting_to_try_and_yours_keep_their_words_apart(size: Size, setting: str) -> None:
    drawing = draw(replace(CHART, to_try=shot(setting, "27")), size)
    yours, tried = drawing.chosen.text, drawing.to_try.text
    assert tried.words == f"try {setting}"
    apart_x = abs(float(yours.x) - float(tried.x)) / (size.font * 0.6)
    apart_y = abs(float(yours.y) - float(tried.y)) / size.font
    assert apart_y >= 1 or apart_x >= 6


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("chosen", ["10", "12", "15"])
def test_words_stay_inside_and_apart(size: Size, chosen: str) -> None:
    drawing = draw(replace(CHART, chosen=next(p for p in CHART.points if p.setting == Decimal(chosen))), size)
    boxes = []
    for text in (*drawing.texts, drawing.chosen.text):
        wide = len(text.words) * size.font * 0.5
        left = float(text.x) - {"start": 0, "middle": wide / 2, "end": wide}[text.anchor]
        assert (left >= -1, left + wide <= size.width + 1) == (True, True), text
        boxes.append((left, float(text.y) - size.font * 0.7, left + wide, float(text.y), text.words))
    for at, a in enumerate(boxes):
        for b in boxes[at + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], (a, b)


def test_the_band_is_cut_at_the_frame_not_bent() -> None:
    # The upper edge runs from 60 to 20 s over settings 9 to 16; the frame ends at 40 s, so it enters at 12.5.
    steep = replace(CHART, curve=line(("9", "38", "33", "60"), ("16", "18", "15", "20")))
    drawing = draw(steep, WIDE)
    first, last = float(draw(steep, WIDE).shots[0].x), float(draw(steep, WIDE).shots[2].x)
    per_setting = (last - first) / 5
    enters = float(re.match(r"M([0-9.]+) ", drawing.band_edges[0])[1])
    assert enters == pytest.approx(first + (12.5 - 10) * per_setting, abs=0.1)


def test_the_hatch_stays_inside_the_window() -> None:
    drawing = draw(CHART, PAPER)
    x, y, wide, tall = (float(value) for value in drawing.window)
    for x1, y1, x2, y2 in re.findall(r"M([-0-9.]+) ([-0-9.]+)L([-0-9.]+) ([-0-9.]+)", drawing.hatch):
        assert x - 0.02 <= float(x1) <= float(x2) <= x + wide + 0.02
        assert y - 0.02 <= float(y2) <= float(y1) <= y + tall + 0.02


def test_one_shot_alone_can_be_drawn() -> None:
    alone = ShotChart((shot("7", "27"),), (), Decimal(25), Decimal(31))
    assert len(draw(alone, PAPER).shots) == 1
    assert draw(alone, PAPER).band == ""


def test_words_stand_for_the_picture() -> None:
    assert describe(replace(CHART, to_try=shot("11", "30"))) == (
        "Seconds against grinder: 10 gave 35 s, 12 gave 27 s, 15 gave 20 s, 13 gave 13 s (spoilt). "
        "Aim here: 24 to 31 s. Yours: 12. Next to try: 11, never pulled on this machine."
    )


@pytest.mark.parametrize(
    ("change", "fault"), [({"points": ()}, "at least one"), ({"window_low_s": Decimal(31)}, "begin before")]
)
def test_an_empty_chart_is_refused(change: dict[str, object], fault: str) -> None:
    with pytest.raises(ValueError, match=fault):
        draw(replace(CHART, **change), PAPER)
