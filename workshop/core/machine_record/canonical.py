"""A machine record as bytes: one spelling for one content, and a hash over it.

Keys sorted, no blanks, UTF-8, no fractions: decimals are text. For what a record may hold this is the canonical form
of RFC 8785. The hash shows a change by accident or by a careless hand; whoever means harm can write a new one, so it
proves no author.
"""

import hashlib
import json
from collections.abc import Mapping
from typing import Any

VERSION = 1  # of the record's shape: a field added, renamed or dropped makes the next one
SCHEMA = f"urn:second-pull:machine-record:{VERSION}"


def canonical(value: Any) -> bytes:
    """Return the one spelling of a value. :raises ValueError: at a fraction, or a letter UTF-8 cannot carry."""
    text = json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)
    return text.encode()


def hash_of(whole: Mapping[str, Any]) -> str:
    """Return the SHA-256 over everything in a document but its own hash."""
    return hashlib.sha256(canonical({name: part for name, part in whole.items() if name != "sha256"})).hexdigest()


def document(record: Mapping[str, Any]) -> bytes:
    """Return the file of a record: its schema, its version, its hash and the record."""
    whole = {"schema": SCHEMA, "version": VERSION, "record": dict(record)}
    return canonical(whole | {"sha256": hash_of(whole)})
