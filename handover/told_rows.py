"""Rows of what a buyer is told before agreeing, for the address, the workshop's phone and the Hand over page."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.conf import settings
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString

from handover import buyer_address, compose, layout, told_links
from handover.models import ToldLink
from handover.retold import retold, retold_all
from handover.sheet import BuyerAddress, say_date
from workshop.core.models import Job
from workshop.core.templatetags.measures import day


@dataclass(frozen=True, slots=True)
class Address:
    """One address on the Hand over page: what became of it, in words; its code while a phone can reach it."""

    pk: int
    token: str
    full: str
    state: str
    opens: bool
    qr: SafeString | str


def of_link(link: ToldLink, *, large: bool) -> dict[str, Any]:
    """Return what the page behind an address prints."""
    page = reverse("handover:told_page", args=[link.token])
    read = told_links.read_at(link)
    return {
        "machine": link.job.machine,
        "marks": [_mark(mark, _photo(link, mark)) for mark in link.marks],
        "left": retold_all(link.content["left"]),
        "not_tested": retold_all(link.content["not_tested"]),
        "link": link,
        "read_on": say_date(timezone.localtime(read).date()) if read else "",
        "last_day": say_date(link.expires_on),
        "other_size": page if large else f"{page}?large=1",
    }


def of_job(job: Job) -> dict[str, Any]:
    """Return the same of a machine as it stands now, for the workshop's own phone."""
    return {"job": job, **as_it_stands(job, lambda sha: reverse("intake:photo", args=[sha]))}


def as_it_stands(job: Job, photo: Callable[[str], str]) -> dict[str, Any]:
    """Return what is told of a machine now, in the active language; `photo` makes an address of the store's."""
    telling = compose.to_tell(job)
    return {
        "machine": job.machine,
        "ask": telling.nothing_known,
        "marks": [
            _mark(mark, photo(mark["photo"]) if mark["photo"] else None)
            for mark in told_links.with_photos(job, telling.marks)
        ],
        "left": retold_all(telling.left),
        "not_tested": retold_all(telling.not_tested),
    }


def _mark(mark: dict[str, Any], photo: str | None) -> layout.PlacedMark:
    return layout.PlacedMark(mark["number"], retold(mark["words"]), photo)


def _photo(link: ToldLink, mark: dict[str, Any]) -> str | None:
    return reverse("handover:told_photo", args=[link.token, mark["number"]]) if mark["photo"] else None


def addresses(job: Job, today: date) -> list[Address]:
    """Return the addresses made for buyers of this job, newest first."""
    rows = ToldLink.objects.filter(job=job).select_related("told").order_by("-pk")
    return [_address(row, today, ended=job.closed_at is not None) for row in rows]


def _address(row: ToldLink, today: date, *, ended: bool) -> Address:
    full = settings.PUBLIC_URL + reverse("handover:told_page", args=[row.token])
    opens = row.withdrawn_at is None and row.expires_on >= today and not ended
    reachable = opens and buyer_address.reachable(settings.PUBLIC_URL)
    code = layout.qr(BuyerAddress(full, "what the buyer reads before agreeing", "")) if reachable else ""
    return Address(row.pk, row.token, full, _state(row, opens=opens), opens, code)


def _state(row: ToldLink, *, opens: bool) -> str:
    told = getattr(row, "told", None)
    if told is not None:
        return f"Read {day(told.at)}."
    if opens:
        return f"Made {day(row.made_at)}, not read yet. It opens until {day(row.expires_on)}."
    return "Withdrawn, never read." if row.withdrawn_at else f"Made {day(row.made_at)}, never read. It opens no more."
