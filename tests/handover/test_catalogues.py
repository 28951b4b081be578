"""The catalogues: nothing that a buyer reads is missing from them, and each keeps to the glossary."""

import gettext
import re
from pathlib import Path

import polib
import pytest

from handover import house_words
from handover.words import Language
from tests.handover import catalogue_source as source
from workshop.bench.words import NotPossible
from workshop.core.defaults import SEALS, USUAL_SEALS
from workshop.core.words import Kind
from workshop.trade.care.rules import RULES
from workshop.trade.condition.scoring import Face, MarkKind, Shows
from workshop.trade.safety.electrical import EVERY_VERSION, Measure

LOCALE = source.ROOT / "handover" / "locale"
TRANSLATED = [language for language in Language.values if language != Language.EN]
GLOSSARY = LOCALE / "GLOSSARY.md"


def catalogue(language):
    return polib.pofile(str(LOCALE / language / "LC_MESSAGES" / "django.po"), wrapwidth=0)


def holes(words):
    """What must be the same on both sides: names to fill in, tags, stars round what is printed heavy."""
    return (
        sorted(set(re.findall(r"%\(\w+\)[sd]", words))),
        sorted(re.findall(r"</?\w+>", words)),
        words.count("*"),
        words.count("%%"),
    )


@pytest.mark.parametrize("language", TRANSLATED)
def test_every_wrapped_string_stands_in_the_catalogue(language):
    known = {(entry.msgctxt, entry.msgid) for entry in catalogue(language)}

    assert sorted(source.entries() - known, key=str) == []


@pytest.mark.parametrize("language", TRANSLATED)
def test_nothing_stands_in_the_catalogue_that_nobody_says(language):
    known = {(entry.msgctxt, entry.msgid) for entry in catalogue(language)}

    assert sorted(known - source.entries(), key=str) == []


@pytest.mark.parametrize("language", TRANSLATED)
def test_every_entry_is_told_and_sure(language):
    rows = catalogue(language)

    assert [entry.msgid for entry in rows if not entry.msgstr or entry.fuzzy or entry.obsolete] == []
    assert [entry.msgid for entry in rows if holes(entry.msgid) != holes(entry.msgstr)] == []
    assert [e.msgid for e in rows if not e.msgctxt and (e.msgid[-1] in ".?:") != (e.msgstr[-1] in ".?:")] == []


@pytest.mark.parametrize("language", TRANSLATED)
def test_what_is_compiled_is_what_is_written(language):
    path = LOCALE / language / "LC_MESSAGES" / "django.mo"
    with path.open("rb") as file:
        compiled = gettext.GNUTranslations(file)

    for entry in catalogue(language):
        told = compiled.pgettext(entry.msgctxt, entry.msgid) if entry.msgctxt else compiled.gettext(entry.msgid)
        assert told == entry.msgstr
    assert len(polib.mofile(str(path))) == len(catalogue(language))


def test_the_reader_sees_what_is_wrapped_in_code_and_in_templates():
    found = source.entries()

    assert (None, "Something is wrong") in found  # a template's translate
    assert (None, "%(name)s: your machine") in found  # a template's blocktranslate
    assert (None, "WARNING") in found  # code
    assert ("short month", "Sep") in found  # code, with a context
    assert len(found) > 250


def test_nothing_is_wrapped_in_a_way_that_the_tool_would_not_see():
    assert [
        bad for path in source.code() for bad in source.unreadable(path.read_text(encoding="utf-8"), path.name)
    ] == []
    assert source.unreadable('_(f"no {way}")', "x")
    assert source.unreadable("from django.utils.translation import gettext as said", "x")


def test_the_words_of_the_floors_below_are_listed():
    care = {words for rule in RULES for words in (rule.words, rule.why)}
    seals = {name for rows in (*SEALS.values(), USUAL_SEALS) for name, _ in rows}
    marks = {each.label for kind in (Face, MarkKind, Shows) for each in kind}
    reasons = {str(label) for label in NotPossible.labels}
    editions = {profile.title for profile in EVERY_VERSION}
    words = care | seals | marks | reasons | editions | set(Kind.labels) | {measure.label for measure in Measure}

    assert words - set(house_words.EVERY) == set()


def rows_of_the_glossary():
    lines = [line for line in GLOSSARY.read_text(encoding="utf-8").splitlines() if line.startswith("| ")]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    return [row for row in cells if row[0] not in ("English", "---")]


def will_do(cell):
    """The words that count: those in brackets where there are any, else the whole cell."""
    inside = re.search(r"\((.+)\)", cell)
    return [word.strip().lower() for word in (inside[1] if inside else cell).split("/")]


@pytest.mark.parametrize("language", TRANSLATED)
def test_one_word_per_thing(language):
    column = Language.values.index(language)
    rows = rows_of_the_glossary()
    wrong = [
        f"{row[0]} in {entry.msgid!r}: {entry.msgstr!r}"
        for row in rows
        for entry in catalogue(language)
        if re.search(
            rf"\b{row[0]}\b", re.sub(r"%\(\w+\)s", "", entry.msgid), re.NOFLAG if row[0].isupper() else re.IGNORECASE
        )
        and not any(word in entry.msgstr.lower() for word in will_do(row[column]))
    ]

    assert len(rows) > 30
    assert wrong == []


def test_the_catalogues_lie_where_the_settings_look(settings):
    assert [Path(path) for path in settings.LOCALE_PATHS] == [LOCALE]
