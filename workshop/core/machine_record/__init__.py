"""The machine record: what a machine carries from one workshop to the next, as a file with a schema and a hash."""

from workshop.core.machine_record.canonical import SCHEMA, VERSION, canonical, document, hash_of
from workshop.core.machine_record.reading import MOST_BYTES, UNPRINTABLE, Read, Unreadable, read

__all__ = [
    "MOST_BYTES",
    "SCHEMA",
    "UNPRINTABLE",
    "VERSION",
    "Read",
    "Unreadable",
    "canonical",
    "document",
    "hash_of",
    "read",
]
