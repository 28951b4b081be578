"""How numbers are printed: money, measures with a no-break space before the unit, dates in words."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django import template
from django.utils import timezone

from workshop.core.models import Shop
from workshop.trade.money import rounding

register = template.Library()
NBSP = "\u00a0"


@register.filter
def money(minor: int | None, shop: Shop | None) -> str:
    """Print minor units in the shop's currency; nothing when there is no amount."""
    if minor is None:
        return ""
    return rounding.say(minor, shop.currency if shop else "GBP")


@register.filter
def measure(value: Any, unit: str = "") -> str:
    """Print a measured number without needless zeros, joined to its unit by a no-break space."""
    if value is None or value == "":
        return ""
    text = number(value)
    return f"{text}{NBSP}{unit}" if unit else text


def number(value: Any) -> str:
    """Return a Decimal as people write it: 18 not 18.00, 0.139 not 0.1390, 1,400 not 1400."""
    if not isinstance(value, Decimal):
        value = Decimal(str(value))
    text = f"{value:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


@register.filter
def day(value: date | datetime | None) -> str:
    """Print a date in words: 14 May 2026."""
    if value is None:
        return ""
    if isinstance(value, datetime):
        value = timezone.localtime(value).date()
    return f"{value.day} {value:%B} {value:%Y}"


@register.filter
def short_day(value: date | datetime | None) -> str:
    """Print a date without the year: 14 May; of another year than today's with it: 30 September 2025.

    Printing alone may look at the calendar: what is printed is never stored.
    """
    short, _, year = day(value).rpartition(" ")
    return short if year == str(this_year()) else f"{short} {year}".strip()


def this_year() -> int:
    """Return the year it is in the workshop."""
    return timezone.localdate().year


@register.filter
def clock(value: datetime | None) -> str:
    """Print the time of day: 10:42."""
    return f"{timezone.localtime(value):%H:%M}" if value else ""
