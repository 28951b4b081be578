"""Labels on paper: how many fit, where they stand, how large a name may be."""

from decimal import Decimal
from pathlib import Path

import pytest
from django.conf import settings
from fontTools.ttLib import TTFont

from handover.label_grid import CODE_MM, EDGE_MM, Label, fit, grid, width_mm
from workshop.core import names
from workshop.core.words import Paper

DEFAULT = Label(Decimal(60), Decimal(40))


@pytest.mark.parametrize(
    ("paper", "label", "across", "down"),
    [
        (Paper.A4, DEFAULT, 3, 7),
        (Paper.LETTER, DEFAULT, 3, 6),
        # A usual die-cut sheet, from memory: 63.5 by 38.1 mm, 21 to A4, 2.5 mm between columns.
        (Paper.A4, Label(Decimal("63.5"), Decimal("38.1"), Decimal("2.5")), 3, 7),
        (Paper.A4, Label(Decimal(150), Decimal(100)), 1, 2),
        (Paper.LETTER, Label(Decimal(150), Decimal(100), Decimal(20), Decimal(20)), 1, 2),
    ],
)
def test_as_many_labels_stand_on_a_sheet_as_fit(paper, label, across, down):
    sheet = grid(paper, label)

    assert (sheet.across, sheet.down, sheet.holds) == (across, down, across * down)


def test_labels_stand_centred_along_the_rows():
    spots = list(grid(Paper.A4, Label(Decimal("63.5"), Decimal("38.1"), Decimal("2.5"))).spots())

    assert spots[0] == (Decimal("7.25"), Decimal("15.15"))
    assert spots[1] == (Decimal("73.25"), Decimal("15.15"))
    assert spots[3] == (Decimal("7.25"), Decimal("53.25"))
    assert len(spots) == 21


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("width", ["50", "60", "63.5", "99.1", "150"])
@pytest.mark.parametrize("height", ["30", "38.1", "67.7", "100"])
def test_no_label_stands_in_the_edge_that_printers_leave_white(paper, width, height):
    sheet = grid(paper, Label(Decimal(width), Decimal(height), Decimal(2), Decimal(1)))

    left, top = next(sheet.spots())

    assert left >= EDGE_MM
    assert top >= EDGE_MM


@pytest.mark.parametrize(("width", "height"), [(50, 30), (60, 40), (150, 100), (62, 30)])
def test_the_code_is_never_under_20_mm_and_leaves_room_for_words(width, height):
    label = Label(Decimal(width), Decimal(height))

    assert label.code_mm >= CODE_MM
    assert label.words_mm > 20


def test_no_word_is_wider_than_it_is_reckoned():
    font = TTFont(Path(settings.BASE_DIR, "static/fonts/print/atkinson-next-800.ttf"))
    advances, letters, units = font["hmtx"], font.getBestCmap(), font["head"].unitsPerEm
    words = {word.capitalize() for word in names.every_word()} | {"Größe", "Shelf B", "WET BENCH 20", "Émile & Söhne"}
    real = {w: sum(advances[letters[ord(c)]][0] for c in w) / units * 18 * 25.4 / 72 for w in words}

    assert [word for word in words if real[word] > width_mm(word, 18)] == []


def test_every_name_stands_at_18_pt_on_the_usual_label():
    longest = max(names.every_word(), key=lambda word: width_mm(word.capitalize(), 18)).capitalize()

    found = fit(f"{longest} {longest}", most_pt=18, width=DEFAULT.words_mm, height=Decimal(16))

    assert (found.size_pt, found.lines) == (18, 2)


def test_a_word_too_long_for_any_size_takes_the_smallest():
    assert fit("W" * 40, most_pt=18, width=Decimal(30), height=Decimal(10)).size_pt == 8
