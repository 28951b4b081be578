"""Days, weeks and months as a buyer reads them, and dates that stay right at the ends of months."""

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

_WEEK = 7
_YEAR_MONTHS = 12
_WEEKS_UP_TO_DAYS = 60
_ROUND_MONTHS_UP_TO = 6


class SpanUnit(StrEnum):
    """What a span is counted in."""

    DAY = "day"
    WEEK = "week"
    MONTH = "month"


@dataclass(frozen=True, slots=True)
class Span:
    """A repeat as printed: so many days, weeks or calendar months."""

    count: int
    unit: SpanUnit

    @property
    def first_words(self) -> str:
        """When it first falls due: "week 2", "month 3"."""
        return f"{self.unit} {self.count}"

    @property
    def then_words(self) -> str:
        """How it repeats: "every week", "every 6 weeks", "every 2 years"."""
        if self.unit is SpanUnit.MONTH and self.count % _YEAR_MONTHS == 0:
            years = self.count // _YEAR_MONTHS
            return "every year" if years == 1 else f"every {years} years"
        return f"every {self.unit}" if self.count == 1 else f"every {self.count} {self.unit}s"


def month_days(months: int) -> int:
    """Whole days in so many months on average, rounded down: 30, 60, 91, ... 182, ... 365."""
    return months * 146097 // 4800  # 400 Gregorian years: 146,097 days, 4,800 months


def _as_months(days: int) -> int | None:
    months = round(days * 4800 / 146097)
    if months and days == month_days(months):
        return months
    # Manuals write 90 or 180 days and mean 3 or 6 months.
    if days % 30 == 0 and days // 30 <= _ROUND_MONTHS_UP_TO:
        return days // 30
    return None


def span(days: int) -> Span:
    """The way to print a repeat of so many days. Raises ValueError under one day."""
    if days < 1:
        raise ValueError("a repeat is at least one day")
    if days < _WEEKS_UP_TO_DAYS and days % _WEEK == 0:
        return Span(days // _WEEK, SpanUnit.WEEK)
    months = _as_months(days)
    if months is not None:
        return Span(months, SpanUnit.MONTH)
    if days % _WEEK == 0:
        return Span(days // _WEEK, SpanUnit.WEEK)
    return Span(days, SpanUnit.DAY)


_READ = re.compile(r"(?:every\s+)?(?:(\d{1,4})\s*)?(day|week|month|year)s?", re.IGNORECASE)
_LONGEST_READ_DAYS = 3653  # ten years: longer is a slip of the finger


def read_days(words: str) -> int:
    """Whole days of a repeat as a manual says it: "3 months", "every week", "90 days".

    Raises ValueError with a sentence for anything else, for none, and beyond ten years.
    """
    found = _READ.fullmatch(words.strip())
    if found is None:
        raise ValueError(f"“{words}” is no repeat. Say it like: 3 months, 6 weeks, 90 days, 1 year.")
    count, unit = int(found[1] or 1), found[2].lower()
    days = count * _WEEK if unit == "week" else count
    if unit in ("month", "year"):
        days = month_days(count * (_YEAR_MONTHS if unit == "year" else 1))
    if not 0 < days <= _LONGEST_READ_DAYS:
        raise ValueError(f"“{words}” is not between one day and ten years.")
    return days


def neat_days(days: int) -> int:
    """The longest repeat not over `days` that prints well: any day to 13, then whole weeks or whole months.

    A longer wait never comes out shorter than a shorter one.
    """
    if days < 2 * _WEEK:
        return days
    weeks = min(days, _WEEKS_UP_TO_DAYS - 1) // _WEEK * _WEEK
    months = month_days((days + 1) * 4800 // 146097)
    round_months = min(days // 30, _ROUND_MONTHS_UP_TO) * 30
    return max(weeks, months, round_months)


def add_months(day: date, months: int) -> date:
    """The same day so many months later, or the last day of that month where it has no such day."""
    year, month_index = divmod(day.year * 12 + day.month - 1 + months, 12)
    last = monthrange(year, month_index + 1)[1]
    return date(year, month_index + 1, min(day.day, last))


def after(start: date, step: Span, times: int) -> date:
    """The date of the nth repeat, always counted from `start`: 31 January, then 28 February, then 31 March."""
    if step.unit is SpanUnit.MONTH:
        return add_months(start, step.count * times)
    days = step.count * (_WEEK if step.unit is SpanUnit.WEEK else 1)
    return start + timedelta(days=days * times)
