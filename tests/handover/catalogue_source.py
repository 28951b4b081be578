"""Every string that our code and templates hand to gettext, read without xgettext: (context, words)."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from django.utils.translation.template import templatize

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("handover", "intake", "workshop")
SAID = {"_", "gettext", "gettext_lazy", "gettext_noop"}
IN_CONTEXT = {"pgettext", "pgettext_lazy"}
COUNTED = {"ngettext", "ngettext_lazy", "npgettext", "npgettext_lazy"}
Entry = tuple[str | None, str]


def code() -> list[Path]:
    """Every module of ours."""
    return [path for room in ROOMS for path in sorted((ROOT / room).rglob("*.py")) if "migrations" not in path.parts]


def templates() -> list[Path]:
    """Every template of ours."""
    return sorted((ROOT / "templates").rglob("*.html"))


def entries() -> set[Entry]:
    """Return every string wrapped for translation, in code and in templates."""
    found = {entry for path in code() for entry in of_code(path.read_text(encoding="utf-8"), str(path))}
    for path in templates():
        text = path.read_text(encoding="utf-8")
        if "{% translate" in text or "{% blocktranslate" in text:
            found |= set(of_code(_python(templatize(text, origin=str(path))), str(path)))
    return found


def of_code(text: str, origin: str) -> Iterator[Entry]:
    """Yield the strings of one module; a call on anything but a plain string is left out (see `unreadable`)."""
    for call, name in _calls(text, origin):
        words = [argument.value for argument in call.args if isinstance(argument, ast.Constant)]
        if name in SAID and words:
            yield None, words[0]
        if name in IN_CONTEXT and len(words) == 2:
            yield words[0], words[1]


def unreadable(text: str, origin: str) -> list[str]:
    """Return calls that xgettext would not see or would see wrongly: f-strings, plurals, gettext by another name."""
    wrong = [
        f"{origin}:{call.lineno}"
        for call, name in _calls(text, origin)
        if name in COUNTED or any(isinstance(argument, ast.JoinedStr) for argument in call.args)
    ]
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.ImportFrom) and node.module == "django.utils.translation":
            wrong += [f"{origin}: {name.asname}" for name in node.names if name.asname not in (None, "_")]
    return wrong


def _calls(text: str, origin: str) -> Iterator[tuple[ast.Call, str]]:
    for node in ast.walk(ast.parse(text, origin)):
        name = node.func.id if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) else ""
        if isinstance(node, ast.Call) and name in SAID | IN_CONTEXT | COUNTED:
            yield node, name


def _python(said: str) -> str:
    """Keep the calls out of what `templatize` lays among crosses: one a line, as Python."""
    call = r"""\b(?:gettext|pgettext|_)\((?:[^()"']|"(?:[^"\\]|\\.)*"|'(?:[^'\\]|\\.)*')*\)"""
    return "\n".join(re.sub(r"\bu(?=[\"'])", "", found) for found in re.findall(call, said))
