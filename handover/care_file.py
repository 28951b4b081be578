"""The one door to icalendar: the care dates of a sheet as a file that any calendar takes in (RFC 5545).

The same content gives the same bytes: the time stamp is the sheet's day, the ids come from the machine and the task,
so that a later sheet of the same machine moves the dates that stand in a calendar and never doubles them.
"""

from datetime import UTC, date, datetime, time, timedelta
from uuid import NAMESPACE_URL, uuid5

from django.utils import translation
from django.utils.translation import gettext as _
from icalendar import Calendar, Event

from handover.pdf import Attached
from handover.sheet import NBSP, CareRow, SheetContent
from workshop.trade.care import calendar
from workshop.trade.care.spans import SpanUnit

NAME = "care.ics"
KIND = "text/calendar; charset=utf-8"
_FREQUENCY = {SpanUnit.DAY: "DAILY", SpanUnit.WEEK: "WEEKLY", SpanUnit.MONTH: "MONTHLY"}


def of(content: SheetContent, start: date | None) -> bytes | None:
    """Return the file of the care tasks counted from `start`, in the sheet's language; nothing before there is one."""
    rows = [row for row in content.care if row.every_days]
    if start is None or not rows:
        return None
    with translation.override(content.language):
        return _written(content, rows, start)


def _written(content: SheetContent, rows: list[CareRow], start: date) -> bytes:
    file = Calendar()
    file.add("prodid", f"-//Second Pull//Care calendar//{content.language.upper()}")
    file.add("version", "2.0")
    file.add("method", "PUBLISH")
    file.add("x-wr-calname", _("Care of %(name)s") % {"name": content.name})
    # A calendar that follows the address looks again once a day (RFC 7986, 5.7): dates move with the next sheet.
    file.add("refresh-interval", timedelta(days=1), parameters={"value": "DURATION"})
    for row in rows:
        file.add_component(_event(content, row, start))
    data: bytes = file.to_ical()
    return data


def attached(content: SheetContent) -> tuple[Attached, ...]:
    """Return the file as the PDF carries it, where the sheet has dates."""
    data = of(content, content.care_from)
    with translation.override(content.language):
        words = _("The care dates, for your calendar")
    return (Attached(NAME, data, words),) if data else ()


def _event(content: SheetContent, row: CareRow, start: date) -> Event:
    every_days = row.every_days or 0
    event = Event()
    event.add("uid", str(uuid5(NAMESPACE_URL, f"{content.workshop.name}/{content.name}/{content.serial}/{row.code}")))
    event.add("dtstamp", datetime.combine(content.issued_on, time(), UTC))
    event.add("sequence", content.number)
    event.add("dtstart", calendar.occurrences(every_days, start, 1)[0])
    event.add("rrule", _rule(every_days, start))
    event.add("summary", (_("%(name)s: %(task)s") % {"name": content.name, "task": row.words}).replace(NBSP, " "))
    event.add("description", _description(content, row).replace(NBSP, " "))
    event.add("transp", "TRANSPARENT")  # a day with a task is not a busy day
    return event


def _description(content: SheetContent, row: CareRow) -> str:
    said = {"why": row.why, "phone": content.workshop.phone}
    return _("%(why)s Stuck? Call us first: %(phone)s") % said


def _rule(every_days: int, start: date) -> dict[str, str | int | list[int]]:
    again = calendar.repeat(every_days, start)
    rule: dict[str, str | int | list[int]] = {"freq": _FREQUENCY[again.unit], "interval": again.every}
    if again.month_days:
        rule |= {"bymonthday": list(again.month_days)}
    if len(again.month_days) > 1:
        rule |= {"bysetpos": -1}
    return rule
