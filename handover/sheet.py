"""What stands on a handover sheet, as plain frozen values: no models, no queries, no clock.

The sheet is issued as `to_json()` of this content and printed from it for ever after. Whatever this machine was
not measured for is absent (None or an empty tuple) and its place on the paper closes up: no blank, nothing typical.
"""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from handover import snapshot
from handover.saying import NBSP, join, plain, say_date, say_short
from workshop.bench.chart import ShotChart

__all__ = [
    "NBSP",
    "Adjusting",
    "BigFigure",
    "BuyerAddress",
    "CareRow",
    "Change",
    "Condition",
    "Defects",
    "Dial",
    "DialKind",
    "Grinder",
    "MarkShown",
    "Paper",
    "ReadingRow",
    "Row",
    "Run",
    "SafetyMessage",
    "SettingsCard",
    "SheetContent",
    "Signal",
    "Step",
    "Workshop",
    "join",
    "plain",
    "say_date",
    "say_short",
]
EDITION = 2  # of the snapshot's shape; a change of the fields below makes the next one


class Paper(StrEnum):
    """The two papers one layout serves."""

    A4 = "A4"
    LETTER = "LETTER"


class PrintSize(StrEnum):
    """How large a sheet is printed: body 12 pt on as few pages as it takes, or 17 pt on as many."""

    USUAL = "USUAL"
    LARGE = "LARGE"


class Signal(StrEnum):
    """The signal word of a safety message, by the harm it warns of; a notice is about things only."""

    DANGER = "DANGER"
    WARNING = "WARNING"
    CAUTION = "CAUTION"
    NOTICE = "NOTICE"

    @property
    def word(self) -> str:
        """The word as it is printed, in the language of the moment."""
        return _(_SIGNALS[self])


_SIGNALS = {
    Signal.DANGER: gettext_noop("DANGER"),
    Signal.WARNING: gettext_noop("WARNING"),
    Signal.CAUTION: gettext_noop("CAUTION"),
    Signal.NOTICE: gettext_noop("NOTICE"),
}


class DialKind(StrEnum):
    """How a position is drawn: a knob on a clock face, the locked-in handle, a zone on a gauge."""

    CLOCK = "clock"
    HANDLE = "handle"
    ZONE = "zone"


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of words, heavy or not."""

    words: str
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Workshop:
    """Who hands over; `address` is one line."""

    name: str
    address: str
    phone: str


@dataclass(frozen=True, slots=True)
class SafetyMessage:
    """One message in fixed order: the signal word, what can happen, how to avoid it."""

    signal: Signal
    hazard: str
    avoid: str


@dataclass(frozen=True, slots=True)
class Step:
    """One of the six steps to the first coffee."""

    runs: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class BigFigure:
    """A figure printed large: 16.5, "g", "coffee in"."""

    value: Decimal
    unit: str
    words: str

    def __str__(self) -> str:
        """The figure joined to its unit by a no-break space."""
        return f"{plain(self.value)}{NBSP}{self.unit}"


@dataclass(frozen=True, slots=True)
class Dial:
    """A position in clock hours (2.5 is half past 2); a zone runs clockwise from `at_h` to `to_h`."""

    kind: DialKind
    label: str
    words: str
    at_h: Decimal
    to_h: Decimal | None = None

    def __post_init__(self) -> None:
        if (self.to_h is not None) != (self.kind is DialKind.ZONE):
            raise ValueError("A gauge zone has two ends; a dial or a handle has one place.")


@dataclass(frozen=True, slots=True)
class Row:
    """A label and what stands beside it."""

    label: str
    words: str


@dataclass(frozen=True, slots=True)
class Grinder:
    """The grinder behind the figures; only a built-in one has a setting the buyer can copy."""

    built_in: bool
    setting: str | None = None  # "12 (1 is finest)"

    def __post_init__(self) -> None:
        if not self.built_in and self.setting is not None:
            raise ValueError("A setting of our own grinder means nothing on the buyer's: leave it out.")


@dataclass(frozen=True, slots=True)
class SettingsCard:
    """What was measured on this very unit in its last proving shot."""

    note: str  # "measured on this machine, 12 May"
    figures: tuple[BigFigure, ...]
    grinder: Grinder | None = None
    dials: tuple[Dial, ...] = ()
    rows: tuple[Row, ...] = ()


@dataclass(frozen=True, slots=True)
class Change:
    """One way to put a coffee right: what it tastes and looks like, which way, and how far."""

    when: str  # "Fast, thin, sour"
    way: str  # "Finer"
    how: str  # "grinder to 10"


@dataclass(frozen=True, slots=True)
class Adjusting:
    """The finer and coarser rule, its note, and the chart of the shots where there is one."""

    changes: tuple[Change, ...]
    note: str
    chart: ShotChart | None = None


@dataclass(frozen=True, slots=True)
class CareRow:
    """One care task: what to do, when first (a date, or "week 2"), how often then, and why.

    `code` and `every_days` are the task's own (workshop.trade.care): the calendar file and the buyer's page count
    the same dates from them. The paper prints no reason.
    """

    words: str
    first: str
    then: str
    code: str = field(default="", metadata=snapshot.ADDED)
    every_days: int | None = field(default=None, metadata=snapshot.ADDED)
    why: str = field(default="", metadata=snapshot.ADDED)


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One reading: what, its limit, what was measured, by whom and when."""

    what: str
    limit: str
    measured: str
    by_on: str


@dataclass(frozen=True, slots=True)
class MarkShown:
    """One mark: its number on the sheet, its words, the address of its photo in the store."""

    number: int
    words: str
    photo_sha: str | None = None


@dataclass(frozen=True, slots=True)
class Condition:
    """The condition score as sold and every mark it rests on."""

    score: Decimal
    marks: tuple[MarkShown, ...] = ()


@dataclass(frozen=True, slots=True)
class BuyerAddress:
    """Where the buyer's page stands: the full address for the QR, a short one to type."""

    full: str
    short: str
    words: str


@dataclass(frozen=True, slots=True)
class Defects:
    """What the buyer was told does not work, signed for on a line of its own where the law asks for one."""

    words: str
    signature: str


@dataclass(frozen=True, slots=True)
class SheetContent:
    """Everything on one sheet, in the order of the paper."""

    name: str
    kind_words: str
    serial: str
    workshop: Workshop
    number: int
    issued_on: date
    paper: Paper
    safety: tuple[SafetyMessage, ...]
    steps: tuple[Step, ...]
    settings: SettingsCard | None = None
    adjusting: Adjusting | None = None
    baskets: tuple[Row, ...] = ()
    milk: tuple[str, ...] = ()
    after_use: tuple[str, ...] = ()
    never: tuple[str, ...] = field(default=(), metadata=snapshot.ADDED)
    care: tuple[CareRow, ...] = ()
    care_from: date | None = field(default=None, metadata=snapshot.ADDED)  # the day the care dates are counted from
    # Weekly or oftener: on the buyer's page, never in a calendar.
    habits: tuple[CareRow, ...] = field(default=(), metadata=snapshot.ADDED)
    care_note: str = field(default="", metadata=snapshot.ADDED)  # what a task among them can do to a person
    done: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    readings: tuple[ReadingRow, ...] = ()
    more_readings: tuple[ReadingRow, ...] = field(default=(), metadata=snapshot.ADDED)  # where there is room
    readings_note: str = ""
    not_measured: str = ""
    condition: Condition | None = None
    warranty: tuple[Run, ...] = ()
    buyer_address: BuyerAddress | None = None
    film: BuyerAddress | None = field(default=None, metadata=snapshot.ADDED)  # where it is shown on film, and what
    received: tuple[str, ...] = ()
    defects: Defects | None = None
    signatures: tuple[str, ...] = ()
    size: PrintSize = field(default=PrintSize.USUAL, metadata=snapshot.ADDED)
    call: str = field(default="", metadata=snapshot.ADDED)  # the workshop's own words over its phone number
    language: str = "en"
    edition: int = EDITION

    def __post_init__(self) -> None:
        """Raise ValueError where a dial number of a grinder the buyer does not get would be printed."""
        grinder = self.settings.grinder if self.settings else None
        ours = grinder is not None and not grinder.built_in
        if ours and self.adjusting and self.adjusting.chart:
            raise ValueError("A chart of our own grinder's numbers means nothing on the buyer's: leave it out.")

    def to_json(self) -> str:
        """Return the frozen snapshot: the same content always gives the same text."""
        return snapshot.dump(self)

    @classmethod
    def from_json(cls, text: str) -> "SheetContent":
        """Return the content of a snapshot. Raises ValueError when a part is missing, foreign or ill-typed."""
        return snapshot.load(cls, text)

    @classmethod
    def readable(cls, text: str) -> "SheetContent | None":
        """Return the content of a snapshot, or nothing where it is of a form that cannot be read any more."""
        try:
            return cls.from_json(text)
        except ValueError:
            return None
