"""The care calendar: each task with its first date and its repeat, or "week 2" before there is a date."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from workshop.trade.care.intervals import CareTask
from workshop.trade.care.spans import Span, after, span


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
