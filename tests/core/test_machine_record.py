"""A record that somebody else wrote: what is right comes in, and 300 broken ones are each one plain sentence."""

import copy
import json
import random
from pathlib import Path

import jsonschema
import pytest
import rfc8785

from workshop.core import machine_record
from workshop.core.machine_record import Unreadable, shape
from workshop.core.machine_record.reading import MOST_BYTES

FILE = Path(__file__).with_name("record_version_1.json")  # written once and kept: later code must still read it
EXAMPLE = json.loads(FILE.read_text(encoding="utf-8"))
HOSTILE = {
    "empty": b"",
    "cut short": FILE.read_bytes()[:9000],
    "no JSON": b"Dear workshop,",
    "another JSON": b'{"a": 1}',
    "a list": b"[]",
    "a number": b"12",
    "no text": b"\xff\xfe\x00\x01",
    "a PDF": b"%PDF-1.7 and so on",
    "5 MB": b"[" + b'"x",' * 1_300_000 + b"1]",
    "nested 100,000 deep": b"[" * 100_000 + b"]" * 100_000,
    "nested objects": b'{"a":' * 2000 + b"1" + b"}" * 2000,
    "not a number": b'{"schema": NaN}',
    "endless": b'{"schema": Infinity}',
    "a fraction": FILE.read_bytes().replace(b'"watts": 1400', b'"watts": 1400.5'),
    "a huge figure": FILE.read_bytes().replace(b'"watts": 1400', b'"watts": 1' + b"0" * 300),
    "a figure of 5,000 digits": FILE.read_bytes().replace(b'"watts": 1400', b'"watts": 1' + b"0" * 5000),
    "a name twice": FILE.read_bytes().replace(b'"watts": 1400', b'"watts": 1400, "watts": 1400'),
    "a lone surrogate": FILE.read_bytes().replace(b'"Heron"', b'"Her\\ud800on"'),
    "a nought": FILE.read_bytes().replace(b'"Heron"', b'"Her\\u0000on"'),
    "turned round": FILE.read_bytes().replace(b'"Heron"', b'"Her\\u202eon"'),
    "no day of the calendar": FILE.read_bytes().replace(b'"written_on": "2026-05-14"', b'"written_on": "2026-02-30"'),
}


def spelled(whole):
    return json.dumps(whole, ensure_ascii=True).encode()


def test_a_record_written_by_the_first_version_is_read_however_it_is_spelled():
    found = machine_record.read(FILE.read_bytes())

    assert found.intact
    assert found.record["machine"]["serial"] == "7731-08"
    assert machine_record.read(spelled(EXAMPLE)) == found
    assert machine_record.read(b"\xef\xbb\xbf" + FILE.read_bytes()) == found


def test_our_spelling_is_that_of_an_independent_library():
    assert machine_record.canonical(EXAMPLE) == rfc8785.dumps(EXAMPLE)
    odd = {"ß𝔘łé": '\u2028 "\\\b\f\n\r\t\x1f\x7f/', "10": [True, False, None, -5], "1": {}}
    assert machine_record.canonical(odd) == rfc8785.dumps(odd)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_one_sentence(name):
    with pytest.raises(Unreadable) as refused:
        machine_record.read(HOSTILE[name])

    assert refused.value.sentence[-1] == "."
    assert len(refused.value.sentence) < 300


def test_a_newer_record_says_that_it_is_newer_and_nothing_else():
    newer = EXAMPLE | {"schema": "urn:second-pull:machine-record:2", "version": 2, "shape": {"new": 1.5}}
    del newer["shape"]

    with pytest.raises(Unreadable, match="newer Second Pull: its form is version 2, we read up to version 1"):
        machine_record.read(spelled(newer))


def test_a_changed_record_is_read_and_said_to_be_changed():
    changed = copy.deepcopy(EXAMPLE)
    changed["record"]["done"].append("Boiler changed")

    assert not machine_record.read(spelled(changed)).intact


def places(value, way=()):
    """Yield the way to every part of a value."""
    yield way
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, part in inside:
        yield from places(part, (*way, name))


JUNK = [
    None, True, -1, 2**40, "", "x" * 5000, "<script>alert(1)</script>", [], {}, [[]], {"a": {"b": []}}, "0x1F", "1e9",
    "1,5", "٣", "2026-13-45", "ß𝔘łé", "'; DROP TABLE core_job; --",
]  # fmt: skip


def broken(seed):
    """Return the example with one to three parts replaced, dropped, added or doubled."""
    chance = random.Random(seed)
    whole = copy.deepcopy(EXAMPLE)
    for _ in range(chance.randint(1, 3)):
        *way, last = chance.choice([way for way in places(whole) if way])
        holder = whole
        for step in way:
            holder = holder[step]
        act = chance.choice(["replace", "drop", "add", "many"])
        if act == "replace":
            holder[last] = chance.choice(JUNK)
        elif act == "drop":
            del holder[last]
        elif act == "add" and isinstance(holder, dict):
            holder[chance.choice(["extra", "__proto__", "machine", "on"])] = chance.choice(JUNK)
        elif isinstance(holder, list):
            holder.extend(copy.deepcopy(holder[:1]) * 600)
    return whole


def said(whole):
    """Return the sentence that refuses a record, or nothing."""
    try:
        machine_record.read(spelled(whole))
    except Unreadable as unreadable:
        return unreadable.sentence
    return ""


def test_our_judgement_of_300_broken_records_is_that_of_an_independent_library():
    independent = jsonschema.Draft202012Validator(shape.schema())
    verdicts = set()
    for seed in range(300):
        whole = broken(seed)
        fits = independent.is_valid(whole)
        assert (next(shape.faults(whole), None) is None) == fits, seed
        assert (said(whole) == "") == fits or "calendar" in said(whole), seed
        verdicts.add(fits)

    assert verdicts == {True, False}


def test_the_largest_file_that_is_read_is_judged_in_a_moment():
    deep = b'{"a":"' + b"\\" * (MOST_BYTES - 8) + b'"}'

    with pytest.raises(Unreadable):
        machine_record.read(deep)
