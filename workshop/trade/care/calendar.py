"""The care calendar: each task with its first date and its repeat, or "week 2" before there is a date."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from workshop.trade.care.intervals import CareTask
from workshop.trade.care.spans import Span, SpanUnit, after, span

_SAFE_MONTH_DAY = 28  # every month has it
_YEAR_MONTHS, _SHORT_MONTH = 12, 2  # a yearly task stays in its month, and only February changes its length


@dataclass(frozen=True, slots=True)
class DatedTask:
    """One calendar task: first date (None before handing over), first and repeat in words, and why."""

    code: str
    words: str
    first_on: date | None
    first_words: str
    then_words: str
    why: str


def dated(tasks: Iterable[CareTask], start: date | None) -> tuple[DatedTask, ...]:
    """The calendar tasks, in the order given; those of every day or week stay out (see `after_use`)."""
    return tuple(_dated(task, span(task.every_days), start) for task in tasks if task.in_calendar and task.every_days)


def _dated(task: CareTask, step: Span, start: date | None) -> DatedTask:
    first_on = None if start is None else after(start, step, 1)
    return DatedTask(task.code, task.words, first_on, step.first_words, step.then_words, task.why)


def after_use(tasks: Iterable[CareTask]) -> tuple[CareTask, ...]:
    """The habits: after each use, daily and weekly tasks, which never go into the calendar."""
    return tuple(task for task in tasks if not task.in_calendar)


def occurrences(every_days: int, start: date, count: int) -> tuple[date, ...]:
    """The next `count` dates, each counted from `start`, so that a short month never shifts the later ones.

    Raises ValueError for a repeat under one day.
    """
    step = span(every_days)
    return tuple(after(start, step, times) for times in range(1, count + 1))


@dataclass(frozen=True, slots=True)
class Repeat:
    """A repeat as a calendar file says it (RFC 5545, RRULE): how often, and on which days of a month.

    `month_days`: the last of these that the month has; -1 is its last day; none means the day of the first date.
    """

    unit: SpanUnit
    every: int
    month_days: tuple[int, ...] = ()


def repeat(every_days: int, start: date) -> Repeat:
    """How a calendar must repeat so that it falls on `occurrences(every_days, start)`, short months included.

    Raises ValueError for a repeat under one day.
    """
    step = span(every_days)
    same_month = step.count % _YEAR_MONTHS == 0 and start.month != _SHORT_MONTH
    if step.unit is not SpanUnit.MONTH or start.day <= _SAFE_MONTH_DAY or same_month:
        return Repeat(step.unit, step.count)
    # A plain monthly rule skips months without that day, and the first date may stand on the 28th for a 31st.
    days = (-1,) if start.day == 31 else tuple(range(_SAFE_MONTH_DAY, start.day + 1))
    return Repeat(step.unit, step.count, days)


def next_on(every_days: int, start: date, today: date) -> date:
    """The first of the `occurrences` on or after `today`. Raises ValueError for a repeat under one day."""
    step = span(every_days)
    # Near the one wanted at once: a month is 31 days at most, so never beyond it.
    times = max(1, (today - start).days // (step.count * _LONGEST_DAYS[step.unit]))
    while (day := after(start, step, times)) < today:
        times += 1
    return day


_LONGEST_DAYS = {SpanUnit.DAY: 1, SpanUnit.WEEK: 7, SpanUnit.MONTH: 31}
