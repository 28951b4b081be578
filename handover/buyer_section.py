"""The workshop's side of the buyer's page, prepared for the Hand over page and the Machine page."""

from dataclasses import dataclass

from django.conf import settings
from django.utils.safestring import SafeString

from handover import buyer_address, buyer_links, layout
from handover import messages as written
from handover.models import BuyerAnswer, BuyerLink
from handover.sheet import BuyerAddress
from workshop.core.models import Job
from workshop.core.templatetags.measures import day


@dataclass(frozen=True, slots=True)
class Written:
    """One message of a buyer: when, what, since when, in which words, and how it was answered."""

    pk: int
    when: str
    what: str
    since: str
    words: str
    danger: bool
    answered: str  # how, by whom, when; nothing while it waits


@dataclass(frozen=True, slots=True)
class Section:
    """The buyer's page of a job: its address and code while it stands; closed where the machine is ours again."""

    link: BuyerLink | None
    had_one: bool
    address: str
    qr: SafeString | str
    reachable: bool
    ours_again: bool = False


def of(job: Job) -> Section:
    """Return the section of the Hand over page."""
    if job.first_job_id and buyer_links.is_ours_again(job):
        return Section(None, had_one=True, address="", qr="", reachable=False, ours_again=True)
    link = buyer_links.standing(job)
    reachable = buyer_address.reachable(settings.PUBLIC_URL)
    address = buyer_address.of(link.token) if link else ""
    code = layout.qr(BuyerAddress(address, "the buyer's page", "")) if link and reachable else ""
    return Section(link, buyer_links.links(job).exists(), address, code, reachable)


def is_made_by_issuing(job: Job) -> bool:
    """Say whether issuing a sheet makes the page and prints its address."""
    if not buyer_address.reachable(settings.PUBLIC_URL):
        return False
    return not buyer_links.links(job).exists()


def messages(job: Job) -> list[Written]:
    """Return what the buyers of this machine wrote, newest first."""
    return [
        Written(
            row.pk, day(row.at), str(row), row.since_words, row.words, row.is_danger, _answered(list(row.answers.all()))
        )
        for row in written.of_machine(job.machine)
    ]


def _answered(answers: list[BuyerAnswer]) -> str:
    newest = max(answers, key=lambda row: row.pk, default=None)
    return f"{newest.words} {newest.by}, {day(newest.at)}" if newest and newest.words else ""
