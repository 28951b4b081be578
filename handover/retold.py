"""Words of the lower floors told in the buyer's language: readings, limits, marks, care tasks, the clock of a dial.

They come as English sentences, some of them out of the database; `handover.house_words` lists them. In English they
are printed as they came. Words that are not ours, such as a finding that somebody typed, stay as they were typed.
"""

import re
from collections.abc import Iterable
from datetime import date
from functools import cache

from django.utils import formats
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from handover import house_words
from handover.saying import NBSP, say_clock, say_date, say_day
from workshop.trade import scales

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_HOLE = re.compile(r"%\((\w+)\)s")
_UNIT = r"(?:g|s|min|bar|°C|V|W|A|mA|ohm|megohm|ml|mm|mg/L|L|%)"
_FIGURE = rf"[0-9][0-9.,]*(?:[ {NBSP}]{_UNIT})?"
_PARTS = re.compile(rf"([0-9][0-9.,]*)(?:([ {NBSP}])({_UNIT}))?")
_FIGURES = re.compile(rf"{_FIGURE}(?:, {_FIGURE})*")
_DAY = re.compile(rf"([0-9]{{1,2}}) ({'|'.join(MONTHS)}) ([0-9]{{4}})")
_BY_ON = re.compile(rf"(.+), ([0-9]{{1,2}})[ {NBSP}]({'|'.join(month[:3] for month in MONTHS)})")
_ON_A_DIAL = re.compile(r"(?:(?:half|quarter) (?:past|to) )?[0-9]{1,2}(?: o'clock)?")
_PLAIN = frozenset(words for words in house_words.EVERY if "%(" not in words)


def retold(words: str) -> str:
    """Return a phrase of ours in the language of the moment; anything else as it came."""
    if _english() or not words:
        return words
    return _known(words) or _known_swapped(words) or words


def retold_all(rows: Iterable[str]) -> tuple[str, ...]:
    """Return each line in the language of the moment."""
    return tuple(retold(row) for row in rows)


def by_on(words: str) -> str:
    """Return who measured and on which day: "Ana, 12 May", "Ana, 12. Mai"."""
    found = None if _english() else _BY_ON.fullmatch(words)
    if found is None:
        return words
    return f"{found[1]}, {say_day(date(2000, _month(found[3]), int(found[2])))}"  # any leap year: it is not said


def _english() -> bool:
    return (get_language() or "en").startswith("en")


def _month(words: str) -> int:
    return next(at for at, month in enumerate(MONTHS, 1) if month.startswith(words))


def _known(words: str) -> str:
    if words in _PLAIN:
        return _(words)
    if _FIGURES.fullmatch(words):
        return _PARTS.sub(_figure, words)
    if found := _DAY.fullmatch(words):
        return say_date(date(int(found[3]), _month(found[2]), int(found[1])))
    if _ON_A_DIAL.fullmatch(words):
        return say_clock(scales.parse(scales.CLOCK_FACE, words)).replace(" ", NBSP)
    for shape, phrase in _shapes():
        if found := shape.fullmatch(words):
            return _(phrase) % {name: _filled(name, value) for name, value in found.groupdict().items()}
    return ""


def _known_swapped(words: str) -> str:
    """Look for a phrase with its first letter the other way: a title inside a sentence, a word that begins one."""
    first = words[0]
    told = _known(first.swapcase() + words[1:])
    if not told:
        return ""
    if first.isupper():
        return told[0].upper() + told[1:]
    return told if get_language() == "de" else told[0].lower() + told[1:]  # German nouns stay as they are


def _figure(found: re.Match[str]) -> str:
    """Swap point and comma, and name the unit, joined so that it never parts from its figure."""
    point, thousands = (str(formats.get_format(name)) for name in ("DECIMAL_SEPARATOR", "THOUSAND_SEPARATOR"))
    swap: dict[str, str | int | None] = {".": point, ",": thousands}
    figure = found[1].translate(str.maketrans(swap))
    if not found[3]:
        return figure
    return f"{figure}{NBSP}{_(found[3]) if found[3] in _PLAIN else found[3]}"


def _filled(name: str, value: str) -> str:
    if name == "editions":
        return "; ".join(_edition(part) for part in value.split("; "))
    if name in ("seals", "names"):
        return ", ".join(retold(part) for part in value.split(", "))
    if name == "zone":
        return " ".join(_(word) for word in value.split())
    return retold(value)


def _edition(words: str) -> str:
    title = max((each for each in house_words.EDITIONS if words.startswith(each)), key=len, default="")
    return _(title) + words[len(title) :] if title else words


@cache
def _shapes() -> list[tuple[re.Pattern[str], str]]:
    """The phrases with holes as patterns, the most words of ours first."""
    phrases = sorted((p for p in house_words.EVERY if "%(" in p), key=lambda p: -len(_HOLE.sub("", p)))
    return [(_shape(phrase), phrase) for phrase in phrases]


def _shape(phrase: str) -> re.Pattern[str]:
    parts = _HOLE.split(phrase)
    said = [re.escape(part) if at % 2 == 0 else f"(?P<{part}>{_hole(part)})" for at, part in enumerate(parts)]
    return re.compile("".join(said))


def _hole(name: str) -> str:
    """What fits a hole: figures, one of our words, else anything."""
    words = house_words.HOLES.get(name)
    if words is None:
        return _FIGURES.pattern if name == "numbers" else _FIGURE if name in house_words.FIGURES else ".+?"
    each = "|".join(re.escape(word) for word in words)
    return rf"(?:{each})(?: (?:{each}))?" if name == "zone" else f"(?:{each})"
