"""Writers of readings: what was found at the bench, kept for ever."""

from dataclasses import dataclass, field
from decimal import Decimal

from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Instrument, Job, JournalEntry, Reading
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
    test_volts: int | None = None
    reason: str = ""
    note: str = ""


def record_reading(act: Act, job: Job, found: Found, *, corrects: Reading | None = None) -> JournalEntry:
    """Keep one reading. A failed one stays; measuring again adds a row, correcting a slip names the old one."""
    with acts.once(act):
        values = {name: getattr(found, name) for name in found.__slots__}
        row = Reading.objects.create(job=job, by=act.by, at=act.at, corrects=corrects, **values)
        return acts.write(act, "record_reading", f"Recorded {row}", row, job=job, after={"outcome": row.outcome})


def strike_reading(act: Act, reading: Reading) -> JournalEntry:
    """Take a reading back as a slip: a new row names it and counts for nothing. :raises Refused: if done before."""
    with acts.once(act):
        if Reading.objects.filter(corrects=reading).exists():
            raise Refused("This reading was corrected already.")
        values = {name: getattr(reading, name) for name in Found.__slots__}
        row = Reading.objects.create(job=reading.job, by=act.by, at=act.at, corrects=reading, struck=True, **values)
        return acts.write(act, "strike_reading", f"Took back {reading}", row, job=reading.job)
