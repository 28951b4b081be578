"""Writers of readings: what was found at the bench, kept for ever."""

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date, datetime, time
from decimal import Decimal

from django.utils import timezone

from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Instrument, Job, JournalEntry, OutsideReport, Reading
from workshop.core.words import Outcome


@dataclass(frozen=True, slots=True)
class Found:
    """What a person found at the bench, and the limit it was held against."""

    card: str
    item: str
    title: str
    outcome: Outcome
    value: Decimal | None = None
    value_to: Decimal | None = None
    series: list[str] = field(default_factory=list)
    inputs: dict[str, str] = field(default_factory=dict)
    sign: str = ""
    state: str = ""
    unit: str = ""
    limit_low: Decimal | None = None
    limit_high: Decimal | None = None
    limit_words: str = ""
    edition: str = ""
    source: str = ""
    instrument: Instrument | None = None
    calibration_due_on: date | None = None
    test_volts: int | None = None
    test_current_a: Decimal | None = None
    leads_nulled: bool = False
    lead_ohm: Decimal | None = None
    warmth: str = ""
    own_limit: str = ""
    report: OutsideReport | None = None
    reason: str = ""
    note: str = ""
    second_look: bool = False
    read_at: datetime | None = None  # of a late entry; None where it is entered as it is read


def record_reading(act: Act, job: Job, found: Found, *, corrects: Reading | None = None) -> JournalEntry:
    """Keep one reading. A failed one stays; measuring again adds a row, correcting a slip names the old one."""
    with acts.once(act):
        values = {name: getattr(found, name) for name in found.__slots__}
        row = Reading.objects.create(job=job, by=act.by, at=act.at, corrects=corrects, **values)
        second = ", second look" if row.second_look else ""
        second += f", read at {timezone.localtime(row.read_at):%H:%M}" if row.read_at else ""
        return acts.write(
            act, "record_reading", f"Recorded {row}{second}", row, job=job, after={"outcome": row.outcome}
        )


def strike_reading(act: Act, reading: Reading) -> JournalEntry:
    """Take a reading back as a slip: a new row names it and counts for nothing. :raises Refused: if done before."""
    with acts.once(act):
        if Reading.objects.filter(corrects=reading).exists():
            raise Refused("This reading was corrected already.")
        _struck(act, reading)
        return acts.write(act, "strike_reading", f"Took back {reading}", reading, job=reading.job)


def _struck(act: Act, reading: Reading) -> Reading:
    values = {name: getattr(reading, name) for name in Found.__slots__}
    return Reading.objects.create(job=reading.job, by=act.by, at=act.at, corrects=reading, struck=True, **values)


@dataclass(frozen=True, slots=True)
class Outside:
    """What stands on an outside tester's report."""

    measured_on: date
    who: str
    number: str
    passed: bool
    words: str
    measured_at: time | None = None


def record_report(act: Act, job: Job, covered: Collection[Found], outside: Outside) -> JournalEntry:
    """Keep an outside tester's report, and a reading for each item it covers."""
    with acts.once(act):
        columns = {name: getattr(outside, name) for name in Outside.__slots__}
        report = OutsideReport.objects.create(job=job, by=act.by, at=act.at, **columns)
        for found in covered:
            values = {name: getattr(found, name) for name in found.__slots__} | {"report": report}
            Reading.objects.create(job=job, by=act.by, at=act.at, **values)
        titles = ", ".join(found.title for found in covered)
        return acts.write(act, "record_report", f"Recorded the {report}: {titles}", report, job=job)


def strike_report(act: Act, report: OutsideReport) -> JournalEntry:
    """Take an outside report back as a slip: none of its readings counts. :raises Refused: if done before."""
    with acts.once(act):
        standing = Reading.objects.filter(report=report, struck=False, corrected_by__isnull=True).select_related("job")
        rows = [_struck(act, reading) for reading in standing]
        if not rows:
            raise Refused("This report was taken back already.")
        return acts.write(act, "strike_report", f"Took back the {report}", report, job=report.job)
