"""How high a sheet's two pages will come out, in points, reckoned from its words: a first guess that saves drawings.

Only a guess: `handover.fitting` sets the first try by it, and the drawing itself decides. The measures are those of
static/css/sheet.css; the signs of a line were counted on drawn sheets.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from handover.sheet import Paper, SheetContent

LIVE = {Paper.A4: 751, Paper.LETTER: 711}  # what the margins leave of a page
TAG, HEAD, CHART, FIGURES, DIALS, QR, MAST = 57, 19, 112, 84, 85, 72, 20
SIGNS_OF_SAFETY, SIGNS_OF_STEP, SIGNS_OF_NOTE, SIGNS_OF_CARD, SIGNS_OF_PAGE = 70, 47, 51, 21, 92
SIGNS_OF_EVERYDAY = (22, 26, 23)  # of its three columns, the labels' own column left out
SIGNS_OF_HALF, SIGNS_OF_CAPTION, SIGNS_OF_LIMIT = 40, 27, 24


@dataclass(frozen=True, slots=True)
class Close:
    """The measures of one way to set a page closer: gaps, lines, and how many more signs its smaller type takes."""

    gap: float
    step: float
    safe: float
    everyday_line: float = 16
    everyday_share: float = 1


_WIDE, _NEAR, _NEAREST = (16.0, 6.5, 2.6), (11.75, 3.5, 1.9), (9.75, 2.5, 1.4)
_COUNTER = {  # the closest of all is not reckoned: it is what is left when none of these holds
    Paper.A4: (
        Close(*_WIDE),
        Close(*_NEAR),
        Close(*_NEAR, everyday_line=14.5, everyday_share=12 / 11),
        Close(*_NEAREST, everyday_line=13.5, everyday_share=12 / 10.5),
    ),
    Paper.LETTER: (
        Close(*_NEAR),
        Close(*_NEAREST),
        Close(*_NEAREST, everyday_line=14.5, everyday_share=12 / 11),
        Close(*_NEAREST, everyday_line=13.5, everyday_share=12 / 10.5),
    ),
}


def counter(content: SheetContent, level: int) -> float:
    """Return the height of page 1 set as close as `level` says."""
    close = _COUNTER[content.paper][level]
    parts = [_safety(content, close), _first(content, close, level), _adjusting(content)]
    parts += [_everyday(content, close), _never(content, close)]
    return TAG + sum(part + close.gap for part in parts if part)


def _lines(words: str, signs: float) -> int:
    return max(-(-len(words) // int(signs)), 1)


def _safety(content: SheetContent, close: Close) -> float:
    told = (f"{each.hazard} {each.avoid}" for each in content.safety)
    return sum(_lines(words, SIGNS_OF_SAFETY) * 16 + 2 * close.safe + 1 for words in told)


def _first(content: SheetContent, close: Close, level: int) -> float:
    texts = ("".join(run.words for run in step.runs) for step in content.steps)
    lines = sum(_lines(words, SIGNS_OF_STEP) for words in texts)
    steps = HEAD + lines * 16 + close.step * max(len(content.steps) - 1, 0) if content.steps else 0
    return max(steps, _card(content, tight=level > 2)) - close.gap / 2  # no rule stands above it


def _card(content: SheetContent, *, tight: bool) -> float:
    card = content.settings
    if card is None:
        return 0
    rows = [row.words for row in card.rows] + ([card.grinder.setting or ""] if card.grinder else [])
    line, pad = (14, 2) if tight else (15, 3)
    drawn = DIALS if len(card.dials) > 1 else DIALS - 28 if card.dials else 0
    return FIGURES + drawn + sum(_lines(words, SIGNS_OF_CARD) * line + pad for words in rows) + 6


def _adjusting(content: SheetContent) -> float:
    rule = content.adjusting
    if rule is None:
        return 0
    note = _lines(rule.note, SIGNS_OF_NOTE) * 16
    return max(HEAD + len(rule.changes) * 23 + 4 + note, CHART if rule.chart else 0)


def _everyday(content: SheetContent, close: Close) -> float:
    columns: tuple[Iterable[str], ...] = (
        (row.words for row in content.baskets),
        content.milk,
        content.after_use,
    )
    signs = (each * close.everyday_share for each in SIGNS_OF_EVERYDAY)
    longest = max(sum(_lines(words, n) for words in column) for column, n in zip(columns, signs, strict=True))
    return HEAD + longest * close.everyday_line if longest else 0


def _never(content: SheetContent, close: Close) -> float:
    words = " ".join(content.never)
    lines = _lines(f"{words}{' ' * 20}", SIGNS_OF_PAGE * close.everyday_share * 0.92)
    return lines * close.everyday_line + 2 if words else 0


# --- page 2 ----------------------------------------------------------------------------------------------


def drawer(content: SheetContent, level: int, *, more: bool) -> float:
    """Return the height of page 2, marks and receipt on it; `level` 1 is set closer."""
    close = _COUNTER[content.paper][1 if level else 0]
    row = 16.5 if level else 18.0
    readings = content.readings + (content.more_readings if more else ())
    parts = [
        HEAD + row * len(content.care) + (14 if content.care_note else 0) if content.care else 0,
        _work(content),
        HEAD + sum(row + (_lines(r.limit, SIGNS_OF_LIMIT) - 1) * 15 for r in readings) + _notes(content),
        _marks(content),
        max(HEAD + _lines("".join(run.words for run in content.warranty), SIGNS_OF_NOTE) * 16, QR),
        QR if content.film else 0,
        _receipt(content, level),
    ]
    return MAST + sum(part + close.gap for part in parts if part) - close.gap


def _notes(content: SheetContent) -> float:
    return sum(
        _lines(words, SIGNS_OF_PAGE) * 14 + 2 for words in (content.readings_note, content.not_measured) if words
    )


def _work(content: SheetContent) -> float:
    columns = (content.done, content.left)
    longest = max(sum(_lines(words, SIGNS_OF_HALF) for words in column) for column in columns)
    return HEAD + longest * 16 if longest else 0


def _marks(content: SheetContent) -> float:
    marks = content.condition.marks if content.condition else ()
    if not any(mark.photo_sha for mark in marks):
        return HEAD + 16 * len(marks)
    return HEAD + 88 + max(_lines(mark.words, SIGNS_OF_CAPTION) for mark in marks) * 16


def _receipt(content: SheetContent, level: int) -> float:
    listed = HEAD + 16 * -(-len(content.received) // 2) if content.received else 0
    signed = len(content.signatures) * (16 + (13 if level else 17) + 5)
    defects = _lines(content.defects.words, SIGNS_OF_NOTE) * 16 + 38 if content.defects else 0
    return max(listed, signed) + defects
