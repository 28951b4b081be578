"""Frozen dataclasses to JSON text and back: exact, ordered, and never a float.

Decimals and dates are kept as text, choices by their value, tuples as lists. The types of the dataclass say how
to read the text back, so a snapshot needs no tags. An unknown, missing or ill-typed part is a ValueError: a sheet
once issued must come back whole or not at all. A part that a later edition added (`ADDED`) may be absent.
"""

import dataclasses
import json
import types
import typing
from datetime import date
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import Any, TypeVar

T = TypeVar("T")
ADDED = {"added": True}  # metadata of a field that sheets issued before it do not have; it needs a default


def dump(content: Any) -> str:
    """Return JSON text of a frozen dataclass, keys sorted. Raises TypeError at a float or any other foreign value."""
    return json.dumps(_plain(content), ensure_ascii=False, sort_keys=True, indent=1)


def load(kind: type[T], text: str) -> T:
    """Return the dataclass `kind` read from JSON text. Raises ValueError with the place of the first fault."""
    raw = json.loads(text, parse_float=_no_float, parse_constant=_no_float)
    value: T = _read(kind, raw, kind.__name__)
    return value


def _no_float(text: str) -> Any:
    raise ValueError(f"A snapshot holds no bare fractions; {text} should be kept as text.")


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, bool | int | str):
        return str(value) if isinstance(value, StrEnum) else value
    if isinstance(value, Decimal):
        return str(value)
    if type(value) is date:
        return value.isoformat()
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    if dataclasses.is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    raise TypeError(f"A snapshot cannot hold a {type(value).__name__}: {value!r}")


def _read(kind: Any, raw: Any, place: str) -> Any:
    if isinstance(kind, types.UnionType):
        return None if raw is None else _read(_without_none(kind), raw, place)
    if typing.get_origin(kind) is tuple:
        _expect(list, raw, place)
        inner = typing.get_args(kind)[0]
        return tuple(_read(inner, part, f"{place}[{at}]") for at, part in enumerate(raw))
    if dataclasses.is_dataclass(kind):
        return _read_parts(kind, raw, place)
    return _read_value(kind, raw, place)


def _read_parts(kind: Any, raw: Any, place: str) -> Any:
    _expect(dict, raw, place)
    hints = typing.get_type_hints(kind)
    may_lack = {field.name for field in dataclasses.fields(kind) if field.metadata == ADDED}
    if differ := (set(raw) ^ set(hints)) - (may_lack - set(raw)):
        raise ValueError(f"{place}: the parts differ at {', '.join(sorted(differ))}.")
    return kind(**{name: _read(hints[name], raw[name], f"{place}.{name}") for name in hints if name in raw})


def _read_value(kind: Any, raw: Any, place: str) -> Any:
    if kind in (bool, int):
        return _expect(kind, raw, place)
    _expect(str, raw, place)
    try:
        return date.fromisoformat(raw) if kind is date else kind(raw)
    except (ValueError, InvalidOperation) as fault:
        raise ValueError(f"{place}: {raw!r} is not a {kind.__name__}.") from fault


def _without_none(kind: types.UnionType) -> Any:
    return next(option for option in typing.get_args(kind) if option is not types.NoneType)


def _expect(kind: type, raw: Any, place: str) -> Any:
    # A bool is an int to Python, not to us.
    if not isinstance(raw, kind) or (kind is int and isinstance(raw, bool)):
        raise ValueError(f"{place}: expected {kind.__name__}, found {type(raw).__name__}.")
    return raw
