"""Every source declared in the trade stands in DEVELOPERS.md, word for word, and none is declared twice."""

import importlib
import pkgutil
import re
from collections import Counter
from pathlib import Path

import workshop.trade
from workshop.trade.sources import Source

ROOT = Path(__file__).parent.parent


def declared() -> dict[str, Source]:
    """Return every module-level Source of the trade, by code."""
    found: dict[str, Source] = {}
    for info in pkgutil.walk_packages(workshop.trade.__path__, "workshop.trade."):
        module = importlib.import_module(info.name)
        for value in vars(module).values():
            if isinstance(value, Source):
                found.setdefault(value.code, value)
    return found


def row(source: Source) -> str:
    return f"| {source.code} | {source.title} | {source.where} | {source.seen.value} |".replace("\n", " ")


def test_the_sources_table_equals_the_code():
    written = re.findall(r"^\| [A-Z]-\d+ \|.*\|$", (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"), re.MULTILINE)

    assert written == [row(source) for _, source in sorted(declared().items())]


def test_a_code_names_one_source_only():
    codes = Counter()
    seen = set()
    for info in pkgutil.walk_packages(workshop.trade.__path__, "workshop.trade."):
        for value in vars(importlib.import_module(info.name)).values():
            if isinstance(value, Source) and value not in seen:
                seen.add(value)
                codes[value.code] += 1

    assert [code for code, count in codes.items() if count > 1] == []
