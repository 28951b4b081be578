"""What a buyer's page prints: rows prepared from the frozen sheet, so that page, paper and calendar agree.

Left out of the page: who measured, the notes under the readings, which may name somebody, and what is signed; a price
stands nowhere in the sheet. Name and phone of the workshop are today's: a page outlives a number.
"""

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.http import Http404
from django.urls import reverse
from django.utils import timezone, translation

from handover import answers, buyer_address, care_file, films, layout, ours, record_file, wording
from handover.blocks import BlockName
from handover.models import BuyerLink, HandedOver
from handover.retold import retold
from handover.sheet import CareRow, MarkShown, ReadingRow, SheetContent, say_date
from workshop.bench.say import NO_LIMIT
from workshop.core.models import Shop
from workshop.trade.care import calendar


@dataclass(frozen=True, slots=True)
class CareLine:
    """One care task on the page: what, when next, how often, why."""

    words: str
    next: str
    then: str
    why: str


@dataclass(frozen=True, slots=True)
class Again:
    """The addresses of one page; `large` keeps the print large from page to page."""

    page: str
    trouble: str
    calendar: str
    other_size: str


def again(link: BuyerLink, *, large: bool) -> Again:
    """Return the addresses of a page."""
    at = {name: reverse(f"handover:{name}", args=[link.token]) for name in ("buyer_page", "buyer_trouble")}
    kept = "?large=1" if large else ""
    other = at["buyer_page"] if large else f"{at['buyer_page']}?large=1"
    file = reverse("handover:buyer_calendar", args=[link.token])
    return Again(f"{at['buyer_page']}{kept}", f"{at['buyer_trouble']}{kept}", file, other)


def content_of(link: BuyerLink) -> SheetContent:
    """Return the frozen sheet a page shows. :raises Http404: when it is of a form that cannot be read any more."""
    content = SheetContent.readable(link.sheet.content)
    if content is None:
        raise Http404("Its sheet cannot be read any more.")
    return content


def page(link: BuyerLink, content: SheetContent, today: date) -> dict[str, Any]:
    """Return the context of the page itself."""
    start = counts_from(link, content)
    return {
        "sheet": content,
        "readings": _readings(content),
        "care": [_line(row, start, today) for row in content.care],
        "has_calendar": care_file.of(content, start) is not None,
        "dials": layout.dials(content.settings),
        "marks": [_mark(link, mark) for mark in content.condition.marks] if content.condition else [],
        "last_day": say_date(link.expires_on),
        "film": films.shown(films.standing(link.job)),
        "record": reverse("handover:buyer_record", args=[link.token]) if record_file.is_with(link.sheet) else "",
        **_words(link, content.language),
    }


def _words(link: BuyerLink, language: str) -> dict[str, Any]:
    """Return what the page says in today's words, not the sheet's: it outlives opening hours and answers."""
    own = wording.of(language)
    with translation.override(language):
        return {
            "first": own.text(BlockName.FIRST, ours.first()),
            "call": own.text(BlockName.CALL, ours.call()),
            "answers": answers.shown(link.job.machine.notes, language),
        }


def counts_from(link: BuyerLink, content: SheetContent) -> date | None:
    """Return the day the care dates count from: the day agreed on the sheet, else the day it was handed over."""
    if content.care_from is not None:
        return content.care_from
    row = HandedOver.objects.filter(job_id=link.job_id, withdrawn_at__isnull=True).only("at").first()
    return timezone.localtime(row.at).date() if row else None


def workshop() -> dict[str, str]:
    """Return how to reach the workshop today."""
    shop = Shop.objects.get(pk=1)
    return {"name": shop.name, "phone": shop.phone, "tel": buyer_address.tel(shop.phone)}


def photo_of(content: SheetContent, number: int) -> str | None:
    """Return the store's address of the photo of one mark on the sheet; nothing for any other number."""
    marks = content.condition.marks if content.condition else ()
    return next((mark.photo_sha for mark in marks if mark.number == number), None)


def _line(row: CareRow, start: date | None, today: date) -> CareLine:
    due = calendar.next_on(row.every_days, start, today) if start and row.every_days else None
    return CareLine(row.words, say_date(due) if due else row.first, row.then, row.why)


def _mark(link: BuyerLink, mark: MarkShown) -> layout.PlacedMark:
    photo = reverse("handover:buyer_photo", args=[link.token, mark.number]) if mark.photo_sha else None
    return layout.PlacedMark(mark.number, mark.words, photo)


def _readings(content: SheetContent) -> tuple[ReadingRow, ...]:
    """All readings, for a page has room for them; what has no limit says none."""
    none = {NO_LIMIT, retold(NO_LIMIT)}
    rows = content.readings + content.more_readings
    return tuple(replace(row, limit="") if row.limit in none else row for row in rows)
