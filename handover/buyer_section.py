"""The workshop's side of the buyer's page, prepared for the Hand over page and the Machine page."""

from dataclasses import dataclass

from django.conf import settings
from django.utils.safestring import SafeString

from handover import buyer_address, buyer_links, layout
from handover.models import BuyerLink, BuyerMessage
from handover.sheet import BuyerAddress
from handover.words import DANGERS
from workshop.core.models import Job
from workshop.core.templatetags.measures import day


@dataclass(frozen=True, slots=True)
class Written:
    """One message of a buyer: when, what, since when, in which words."""

    when: str
    what: str
    since: str
    words: str
    danger: bool


@dataclass(frozen=True, slots=True)
class Section:
    """The buyer's page of a job: its address and code while it stands, and what the buyer wrote."""

    link: BuyerLink | None
    had_one: bool
    address: str
    qr: SafeString | str
    reachable: bool
    written: list[Written]


def of(job: Job) -> Section:
    """Return the section of the Hand over page."""
    link = buyer_links.standing(job)
    reachable = buyer_address.reachable(settings.PUBLIC_URL)
    address = buyer_address.of(link.token) if link else ""
    code = layout.qr(BuyerAddress(address, "the buyer's page", "")) if link and reachable else ""
    return Section(link, buyer_links.links(job).exists(), address, code, reachable, messages(job))


def is_made_by_issuing(job: Job) -> bool:
    """Say whether issuing a sheet makes the page and prints its address."""
    if not buyer_address.reachable(settings.PUBLIC_URL):
        return False
    return not buyer_links.links(job).exists()


def messages(job: Job) -> list[Written]:
    """Return what the buyers of this machine wrote, newest first."""
    rows = BuyerMessage.objects.filter(link__job__machine=job.machine_id).order_by("-at", "-pk")
    return [
        Written(day(row.at), row.get_trouble_display(), row.since, row.words, row.trouble in DANGERS) for row in rows
    ]
