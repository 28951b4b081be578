"""Reads a machine record that somebody else wrote. Nothing in it is trusted: every fault is one plain sentence."""

import json
import re
from dataclasses import dataclass
from datetime import date
from typing import Any, NoReturn

from workshop.core.machine_record import shape
from workshop.core.machine_record.canonical import VERSION, hash_of

MOST_BYTES = 512 * 1024  # a machine with 500 readings and 200 shots takes about 250 KB. House policy.
_FAMILY = "urn:second-pull:machine-record:"
UNPRINTABLE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")


class Unreadable(Exception):
    """The file is no machine record that can be kept; `sentence` says why, for the person who chose it."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True)
class Read:
    """A record that was read: its content, the hash of that content, and whether the file states the same one."""

    record: dict[str, Any]
    sha256: str
    intact: bool

    @property
    def written_on(self) -> date:
        """The day it was written."""
        return date.fromisoformat(self.record["written_on"])


def read(data: bytes) -> Read:
    """Return the record in a file. :raises Unreadable: with the sentence to show."""
    if len(data) > MOST_BYTES:
        raise Unreadable(f"This file is too large for a machine record: {MOST_BYTES // 1024} KB at most.")
    if data.startswith(b"%PDF"):
        raise Unreadable(
            "This is the PDF itself. Open it, save its attachment record.json, and choose that file. "
            "The buyer's page has it too."
        )
    whole = _parsed(_text(data))
    _refuse_foreign(whole)
    if fault := next(shape.faults(whole), ""):
        raise Unreadable(f"This record does not have the form it says: look at {fault[:120]}. Nothing was kept.")
    _refuse_unprintable(whole)
    sha256 = hash_of(whole)
    found = Read(whole["record"], sha256, whole["sha256"] == sha256)
    try:
        _ = found.written_on
    except ValueError:
        raise Unreadable("The day it was written is no day of the calendar. Nothing was kept.") from None
    return found


def _text(data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Unreadable("This file is no text. Choose the file record.json.") from None


def _parsed(text: str) -> dict[str, Any]:
    try:
        whole = json.loads(text, parse_float=_refuse, parse_constant=_refuse, object_pairs_hook=_once)
    except (ValueError, RecursionError):  # nested too deeply, figures of thousands of digits
        raise Unreadable("This file is cut short, or no machine record. Ask for it again.") from None
    if not isinstance(whole, dict):
        raise Unreadable("This file is no machine record.")
    return whole


def _refuse(figure: str) -> NoReturn:
    raise ValueError(f"{figure[:40]} is a fraction, or no number: a record writes decimals as text")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("a name stands twice")
    return found


def _refuse_foreign(whole: dict[str, Any]) -> None:
    named, version = whole.get("schema"), whole.get("version")
    if not isinstance(named, str) or not named.startswith(_FAMILY) or type(version) is not int:
        raise Unreadable("This file is no machine record.")
    if version > VERSION:
        raise Unreadable(
            f"This record was written by a newer Second Pull: its form is version {str(version)[:12]}, we read up to "
            f"version {VERSION}. Nothing was kept. Bring this Second Pull up to date, then read it again."
        )


def _refuse_unprintable(value: Any) -> None:
    """Refuse characters that a database cannot hold, or that turn a line round on the screen."""
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for part in value:
            _refuse_unprintable(part)
    elif isinstance(value, str) and UNPRINTABLE.search(value):
        raise Unreadable("This record holds characters that cannot be shown. Nothing was kept.")
