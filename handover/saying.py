"""How figures and dates are said in the language of the moment: decimal comma, month words, joins that never part.

English says them as the workshop's own screens do. Month words and the order of a date stand in our catalogues, for
Django's are capitalised where Italian is not.
"""

from datetime import date
from decimal import Decimal

from django.utils import formats
from django.utils.translation import gettext as _
from django.utils.translation import pgettext, pgettext_lazy

from workshop.bench.chart_words import plain
from workshop.trade.money import rounding

__all__ = ["NBSP", "join", "plain", "say_clock", "say_date", "say_day", "say_money", "say_short"]
NBSP = "\u00a0"
MONTHS = (
    pgettext_lazy("month", "January"),
    pgettext_lazy("month", "February"),
    pgettext_lazy("month", "March"),
    pgettext_lazy("month", "April"),
    pgettext_lazy("month", "May"),
    pgettext_lazy("month", "June"),
    pgettext_lazy("month", "July"),
    pgettext_lazy("month", "August"),
    pgettext_lazy("month", "September"),
    pgettext_lazy("month", "October"),
    pgettext_lazy("month", "November"),
    pgettext_lazy("month", "December"),
)
SHORT_MONTHS = (
    pgettext_lazy("short month", "Jan"),
    pgettext_lazy("short month", "Feb"),
    pgettext_lazy("short month", "Mar"),
    pgettext_lazy("short month", "Apr"),
    pgettext_lazy("short month", "May"),
    pgettext_lazy("short month", "Jun"),
    pgettext_lazy("short month", "Jul"),
    pgettext_lazy("short month", "Aug"),
    pgettext_lazy("short month", "Sep"),
    pgettext_lazy("short month", "Oct"),
    pgettext_lazy("short month", "Nov"),
    pgettext_lazy("short month", "Dec"),
)


def join(value: Decimal | int, unit: str) -> str:
    """Return a number and its unit that never part at a line's end."""
    return f"{plain(value) if isinstance(value, Decimal) else value}{NBSP}{unit}"


def say_date(day: date) -> str:
    """Return a date in words: 14 May 2026, 14. Mai 2026, 14 mai 2026."""
    said = {"day": _day(day), "month": MONTHS[day.month - 1], "year": day.year}
    return pgettext("date", "%(day)s %(month)s %(year)s") % said


def say_short(day: date) -> str:
    """Return a date as the tables print it: 3 Dec 2026; its parts never part at a line's end."""
    said = {"day": _day(day), "month": SHORT_MONTHS[day.month - 1], "year": day.year}
    return (pgettext("short date", "%(day)s %(month)s %(year)s") % said).replace(" ", NBSP)


def say_day(day: date) -> str:
    """Return a date without its year: 12 May; its parts never part at a line's end."""
    said = {"day": _day(day), "month": SHORT_MONTHS[day.month - 1]}
    return (pgettext("short date", "%(day)s %(month)s") % said).replace(" ", NBSP)


def say_clock(at_h: Decimal) -> str:
    """Return a place on a clock face in words, as `workshop.trade.scales` says it in English: half past 2, halb 3."""
    hour, minute = divmod(int(at_h * 60), 60)
    ahead = int(pgettext("hours ahead in the words for half past", "0"))  # 1 in German: halb 3 is half past 2
    said = {"hour": _hour(hour)}
    if minute == 0:
        return _("%(hour)s o'clock") % said
    if minute == 15:
        return _("quarter past %(hour)s") % said
    if minute == 30:
        return _("half past %(hour)s") % {"hour": _hour(hour + ahead)}
    if minute == 45:
        return _("quarter to %(hour)s") % {"hour": _hour(hour + 1)}
    return f"{_hour(hour)}:{minute:02d}"


def say_money(minor: int, currency: str) -> str:
    """Return an amount as it is printed: £1,250.00, 1.250,00 £, CHF 1,250.00."""
    if not int(pgettext("the currency stands behind an amount, 1 or 0", "0")):
        return rounding.say(minor, currency)
    amount = formats.number_format(
        rounding.from_minor(minor, currency), rounding.minor_digits(currency), use_l10n=True, force_grouping=True
    )
    return f"{amount}{NBSP}{rounding.SYMBOL.get(currency, currency)}"


def _hour(hour: int) -> int:
    return hour % 12 or 12


def _day(day: date) -> str:
    return pgettext("first day of a month", "1") if day.day == 1 else str(day.day)
