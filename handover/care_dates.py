"""The days on which care falls due: laid when a machine is handed over, and anew with each later sheet."""

from datetime import date

from django.utils import timezone

from handover.buyer_links import MONTHS_AFTER_WARRANTY
from handover.models import CareDate, HandedOver, Sheet
from handover.sheet import SheetContent
from workshop.core.models import Job, Shop
from workshop.trade.care import calendar
from workshop.trade.care.spans import add_months


def lay(sale: Job, sheet: Sheet) -> int:
    """Lay the dates of a sale from a sheet, inside the caller's act, as long as the buyer's page lasts.

    They count from the day agreed, else from the day it was handed over: as on the buyer's page. Returns how many.
    """
    take_up(sale)
    handed = HandedOver.objects.filter(job=sale, withdrawn_at__isnull=True).only("at").first()
    if handed is None:
        return 0
    content = SheetContent.readable(sheet.content)
    got_on = timezone.localtime(handed.at).date()
    if content is None:
        return 0
    start, last = content.care_from or got_on, add_months(got_on, _months())
    rows = [
        CareDate(job=sale, code=row.code, due_on=day)
        for row in content.care
        if row.every_days and row.code
        for day in _until(row.every_days, start, last)
    ]
    return len(CareDate.objects.bulk_create(rows, ignore_conflicts=True))


def take_up(sale: Job) -> None:
    """Take the dates of a sale up again, inside the caller's act."""
    CareDate.objects.filter(job=sale).delete()


def _months() -> int:
    months = Shop.objects.filter(pk=1).values_list("warranty_months", flat=True).first() or 0
    return months + MONTHS_AFTER_WARRANTY


def _until(every_days: int, start: date, last: date) -> list[date]:
    count = (last - start).days // every_days + 1
    return [day for day in calendar.occurrences(every_days, start, max(count, 1)) if day <= last]
