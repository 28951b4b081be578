"""Holds a value against the schema file: the few words of JSON Schema (draft 2020-12) that the file uses, no more."""

import json
import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

FILE = Path(__file__).with_name("schema.json")
WORDS = {
    "$ref", "type", "const", "enum", "pattern", "minLength", "maxLength", "minimum", "maximum",
    "items", "maxItems", "properties", "required", "additionalProperties",
}  # fmt: skip
NOTES = {"$schema", "$id", "$defs", "title", "description"}  # say something, ask for nothing
_TYPES = {"object": dict, "array": list, "string": str, "integer": int, "boolean": bool}


@cache
def schema() -> dict[str, Any]:
    """Return the schema: a test holds it to the words that this module knows."""
    found: dict[str, Any] = json.loads(FILE.read_text(encoding="utf-8"))
    return found


def faults(value: Any, rule: Mapping[str, Any] | None = None, place: str = "") -> Iterator[str]:
    """Yield the place of each fault, like "record.readings[3].unit"."""
    rule = schema() if rule is None else rule
    if reference := rule.get("$ref"):
        rule = schema()["$defs"][reference.rpartition("/")[2]]
    if not _is(value, rule.get("type")) or not _fits(value, rule):
        yield place or "the whole"
    elif isinstance(value, dict):
        yield from _of_object(value, rule, place)
    elif isinstance(value, list):
        for at, part in enumerate(value):
            yield from faults(part, rule["items"], f"{place}[{at}]")


def _is(value: Any, kind: str | None) -> bool:
    # A bool is an int to Python, not to JSON.
    return kind is None or (isinstance(value, _TYPES[kind]) and isinstance(value, bool) == (kind == "boolean"))


def _fits(value: Any, rule: Mapping[str, Any]) -> bool:
    if "const" in rule and value != rule["const"]:
        return False
    if "enum" in rule and value not in rule["enum"]:
        return False
    if isinstance(value, str):
        return _text_fits(value, rule)
    if isinstance(value, list):
        return bool(len(value) <= rule.get("maxItems", len(value)))
    if isinstance(value, int):
        return bool(rule.get("minimum", value) <= value <= rule.get("maximum", value))
    return True


def _text_fits(value: str, rule: Mapping[str, Any]) -> bool:
    if not rule.get("minLength", 0) <= len(value) <= rule.get("maxLength", len(value)):
        return False
    return "pattern" not in rule or re.search(rule["pattern"], value) is not None


def _of_object(value: Mapping[str, Any], rule: Mapping[str, Any], place: str) -> Iterator[str]:
    known = rule["properties"]
    for name in rule.get("required", ()):
        if name not in value:
            yield f"{place}.{name}".lstrip(".")
    for name, part in value.items():
        inside = f"{place}.{name}".lstrip(".")
        if name in known:
            yield from faults(part, known[name], inside)
        else:
            yield inside
