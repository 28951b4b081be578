"""A language made for tests: every string of the catalogues stands in brackets, so that what is not ours stands out."""

import contextlib
import re
from collections.abc import Iterator
from pathlib import Path

import polib
from django.test.utils import override_settings
from django.utils import translation

from tests.handover import catalogue_source

CODE = "eo"  # a language Django knows and we do not speak
OPEN, SHUT = "⟦", "⟧"


@contextlib.contextmanager
def spoken(folder: Path) -> Iterator[None]:
    """Speak the pseudo language; its catalogue is laid in `folder`."""
    lay(folder)
    with override_settings(LOCALE_PATHS=[folder]), translation.override(CODE):
        yield


def lay(folder: Path) -> None:
    """Write the catalogue: each string as itself, in brackets."""
    path = folder / CODE / "LC_MESSAGES"
    path.mkdir(parents=True, exist_ok=True)
    rows = polib.POFile()
    rows.metadata = {"Content-Type": "text/plain; charset=UTF-8"}
    for context, words in sorted(catalogue_source.entries(), key=str):
        told = words if words.isdigit() else f"{OPEN}{words}{SHUT}"
        rows.append(polib.POEntry(msgctxt=context, msgid=words, msgstr=told))
    rows.save_as_mofile(str(path / "django.mo"))


def outside(text: str) -> str:
    """Return what stands in no bracket: figures, names, what people typed, and whatever was forgotten."""
    depth, kept = 0, []
    for sign in text:
        depth += (sign == OPEN) - (sign == SHUT)
        kept.append(" " if depth or sign == SHUT else sign)
    return "".join(kept)


def words_outside(text: str) -> list[str]:
    """Return the words in no bracket, of three letters and more: shorter ones are units."""
    return re.findall(r"[^\W\d_]{3,}", outside(text))
