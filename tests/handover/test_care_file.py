"""The calendar file: read back without the library that wrote it, against the dates of the paper, over ten years."""

import json
from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest
import vobject
from dateutil.rrule import rrulestr

from handover import care_file
from handover.sheet import CareRow, SheetContent, say_short
from tests.handover import sheet_examples as examples
from workshop.trade.care.calendar import occurrences

START = date(2028, 1, 31)
ROWS = (
    CareRow("Descale: 280 mg/L, the same water as ours", "21 Feb 2028", "every 3 weeks", "DESCALE", 21, "Hard water."),
    CareRow("Soak basket; and screen", "29 Feb 2028", "every month", "SOAK_SCREEN", 30, "Oil clogs\nholes. " * 12),
    CareRow("Renew the boiler’s water", "30 Apr 2028", "every 3 months", "BOILER_WATER", 91, "Minerals gather."),
    CareRow("Change the group seal", "31 Jan 2029", "every year", "CHANGE_GASKET", 365, "Heat hardens it."),
)
BEGUN = datetime.combine(START, time())


@pytest.fixture
def content() -> SheetContent:
    return replace(examples.heat_exchanger(), care=ROWS, care_from=START)


def events(data: bytes) -> list[dict[str, str]]:
    """Unfold and split a file by the letter of RFC 5545, 3.1: no library of ours or theirs."""
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    found: list[dict[str, str]] = []
    for line in data.decode().replace("\r\n ", "").split("\r\n"):
        name, _, value = line.partition(":")
        if line == "BEGIN:VEVENT":
            found.append({})
        elif found:
            found[-1][name.split(";")[0]] = value
    return found


def test_each_event_falls_on_the_dates_of_the_paper_for_ten_years(content):
    for event, row in zip(events(care_file.of(content, START)), ROWS, strict=True):
        first = datetime.strptime(event["DTSTART"], "%Y%m%d")  # noqa: DTZ007  # an all-day event has no zone
        rule = rrulestr(event["RRULE"], dtstart=first)
        told = [moment.date() for moment in rule.between(BEGUN, BEGUN + timedelta(days=3653), inc=True)]
        assert say_short(told[0]).replace("\u00a0", " ") == row.first
        assert told == list(occurrences(row.every_days, START, len(told)))


MONTH_ENDS = [date(2027, 1, 28), date(2027, 1, 29), date(2027, 1, 30), date(2027, 8, 31), date(2028, 2, 29)]


@pytest.mark.parametrize("start", MONTH_ENDS, ids=str)
def test_another_library_reads_the_whole_file_and_finds_the_same_ten_years(content, start):
    calendar = vobject.readOne(care_file.of(content, start).decode())
    assert calendar.validate(raiseException=True)
    assert str(calendar.method.value) == "PUBLISH"

    for event, row in zip(calendar.vevent_list, ROWS, strict=True):
        until = datetime.combine(start, time()) + timedelta(days=3653)
        told = [moment.date() for moment in event.getrruleset(addRDate=True).between(BEGUN - timedelta(800), until)]
        assert told == list(occurrences(row.every_days, start, len(told)))
        assert len(told) >= 9
        assert row.why.split(".")[0] in event.description.value


def test_a_calendar_that_follows_looks_again_each_day(content):
    # RFC 7986, 5.7: the value type must be said
    assert b"\r\nREFRESH-INTERVAL;VALUE=DURATION:P1D\r\n" in care_file.of(content, START)


def test_all_day_no_alarm_and_not_busy(content):
    data = care_file.of(content, START)
    assert data.count(b"DTSTART;VALUE=DATE:") == len(ROWS)
    assert b"VALARM" not in data
    assert {event["TRANSP"] for event in events(data)} == {"TRANSPARENT"}


def test_words_are_escaped_and_come_back(content):
    event = events(care_file.of(content, START))[1]
    assert event["SUMMARY"].endswith("Soak basket\\; and screen")
    assert event["DESCRIPTION"].startswith("Oil clogs\\nholes. ")


def test_a_later_sheet_moves_the_dates_and_doubles_none(content):
    later = replace(content, number=content.number + 1, issued_on=date(2028, 3, 1))
    before = events(care_file.of(content, START))
    after = events(care_file.of(later, date(2028, 2, 10)))
    assert [event["UID"] for event in after] == [event["UID"] for event in before]
    assert len({event["UID"] for event in before}) == len(ROWS)
    assert all(int(b["SEQUENCE"]) < int(a["SEQUENCE"]) for b, a in zip(before, after, strict=True))
    assert {event["DTSTAMP"] for event in after} == {"20280301T000000Z"}


def test_the_same_content_gives_the_same_bytes(content):
    assert care_file.of(content, START) == care_file.of(content, START)


def test_without_a_day_or_a_task_there_is_no_file(content):
    assert care_file.of(content, None) is None
    assert care_file.of(replace(content, care=()), START) is None
    assert care_file.attached(replace(content, care_from=None)) == ()


def test_a_sheet_issued_in_the_earlier_form_is_read_and_has_no_file():
    old = replace(examples.heat_exchanger(), edition=1).to_json()
    raw = json.loads(old)
    for part in ("care_from", "habits"):
        del raw[part]
    for row in raw["care"]:
        for part in ("code", "every_days", "why"):
            del row[part]

    content = SheetContent.from_json(json.dumps(raw))

    assert content.care[0].first == examples.heat_exchanger().care[0].first
    assert care_file.of(content, START) is None
