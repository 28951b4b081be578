"""Labels on paper, as plain sums: how many fit on a sheet, where each stands, how large its words may be.

Millimetres and points throughout. Nothing is read or stored here.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from workshop.core.words import Paper

PAPERS_MM = {Paper.A4: (Decimal(210), Decimal(297)), Paper.LETTER: (Decimal("215.9"), Decimal("279.4"))}
EDGE_MM = Decimal(4)  # a printer leaves about this much of each edge white; common practice, no source
PAD_MM = Decimal(2)  # white round the words and the code of one label. House policy.
BETWEEN_MM = Decimal("1.5")  # between words and code. House policy.
CODE_MM = Decimal(20)  # never smaller: a phone reads it at arm's length; common practice, no source
CODE_MOST_MM = Decimal(40)
BAND_MM = Decimal(8)
NAME_PT, NAME_LEAST_PT = 18, 8
MM_A_PT = Decimal("25.4") / 72
LINE = Decimal("1.05")  # height of a line of the name, in its own size
# Widths of the letters of our heaviest face, never too small, in hundredths of its size: read from the font file.
_NARROW, _SLIM, _WIDE = frozenset(",.'ij"), frozenset(" l-ftrI1"), frozenset("mMW%@")


@dataclass(frozen=True, slots=True)
class Label:
    """The measures of one label."""

    width_mm: Decimal
    height_mm: Decimal
    gap_across_mm: Decimal = Decimal(0)
    gap_down_mm: Decimal = Decimal(0)

    @property
    def code_mm(self) -> Decimal:
        """Return the side of the code: half the height on large labels, never under 20 mm."""
        return min(max(self.height_mm / 2, CODE_MM), CODE_MOST_MM)

    @property
    def words_mm(self) -> Decimal:
        """Return the width left for the words beside the code."""
        return self.width_mm - 2 * PAD_MM - self.code_mm - BETWEEN_MM

    @property
    def band_mm(self) -> Decimal:
        """Return the height of the band of a tag that stops: the code keeps its white edge under it."""
        return min(BAND_MM, self.height_mm - self.code_mm - 2 * PAD_MM)

    @property
    def name_pt(self) -> int:
        """Return the size of a name that has room enough: 18 pt, more on labels higher than 40 mm."""
        return max(NAME_PT, int(NAME_PT * self.height_mm / 40))

    @property
    def live_mm(self) -> Decimal:
        """Return the width between the white edges."""
        return self.width_mm - 2 * PAD_MM


@dataclass(frozen=True, slots=True)
class Grid:
    """How labels stand on a sheet: so many across and down, the whole centred on the paper."""

    paper: Paper
    label: Label
    across: int
    down: int

    @property
    def holds(self) -> int:
        """Return how many labels one sheet holds."""
        return self.across * self.down

    def spots(self) -> Iterator[tuple[Decimal, Decimal]]:
        """Yield left and top of each label in mm, along the rows."""
        width, height = PAPERS_MM[self.paper]
        each_w, each_h = self.label.width_mm, self.label.height_mm
        gap_w, gap_h = self.label.gap_across_mm, self.label.gap_down_mm
        left = (width - self.across * each_w - (self.across - 1) * gap_w) / 2
        top = (height - self.down * each_h - (self.down - 1) * gap_h) / 2
        for row in range(self.down):
            for column in range(self.across):
                yield left + column * (each_w + gap_w), top + row * (each_h + gap_h)


def grid(paper: Paper, label: Label) -> Grid:
    """Return the grid of as many labels as the paper holds, at least one."""
    width, height = PAPERS_MM[paper]
    across = int((width - 2 * EDGE_MM + label.gap_across_mm) / (label.width_mm + label.gap_across_mm))
    down = int((height - 2 * EDGE_MM + label.gap_down_mm) / (label.height_mm + label.gap_down_mm))
    return Grid(paper, label, max(across, 1), max(down, 1))


def width_mm(words: str, size_pt: int) -> Decimal:
    """Return how wide words are at most, in our heaviest face at a size."""
    hundredths = sum(map(_hundredths, words))
    return Decimal(hundredths) / 100 * size_pt * MM_A_PT


def _hundredths(letter: str) -> int:
    if letter in _NARROW:
        return 33
    if letter in _SLIM:
        return 43
    if letter in _WIDE:
        return 91
    return 77 if letter.isupper() or letter.isdigit() or letter in "w&" else 64


@dataclass(frozen=True, slots=True)
class Fit:
    """Words set into a box: their size, and how many lines they take."""

    size_pt: int
    lines: int

    @property
    def height_mm(self) -> Decimal:
        """Return how high the lines stand."""
        return self.lines * self.size_pt * LINE * MM_A_PT


def fit(words: str, *, most_pt: int, width: Decimal, height: Decimal) -> Fit:
    """Return the largest size at which the words fit into a box, broken at spaces only; 8 pt where none does."""
    for size in range(most_pt, NAME_LEAST_PT, -1):
        found = Fit(size, _lines(words, size, width))
        if found.lines and found.height_mm <= height:
            return found
    return Fit(NAME_LEAST_PT, max(_lines(words, NAME_LEAST_PT, width), 1))


def _lines(words: str, size: int, width: Decimal) -> int:
    """Return how many lines the words take, or 0 when one word alone is too wide."""
    lines, line = 0, ""
    for word in words.split():
        if width_mm(word, size) > width:
            return 0
        if line and width_mm(f"{line} {word}", size) <= width:
            line = f"{line} {word}"
        else:
            lines, line = lines + 1, word
    return lines
