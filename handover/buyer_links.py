"""The buyer's page: making, moving and withdrawing its address, opening it, and keeping what a buyer writes."""

import re
import secrets
from datetime import date, datetime, timedelta

from django.conf import settings
from django.db import IntegrityError, transaction
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone, translation
from django.utils.translation import gettext as _

from handover import found
from handover.models import BuyerLink, BuyerMessage, HandedOver, Sheet
from handover.words import DANGERS
from workshop.core import acts
from workshop.core.acts import Act, Refused, Stale
from workshop.core.models import Job, JournalEntry, Shop
from workshop.core.words import ClosedAs
from workshop.pricing.models import CANCELLED_LATER, Sale
from workshop.trade.care.spans import add_months

# 196 bits, as many as 24 random bytes in base 64 and more; no sign that looks like another: it may be typed from paper.
SIGNS, LENGTH = "23456789abcdefghjkmnpqrstvwxyz", 40
MONTHS_AFTER_WARRANTY = 12  # house policy: care dates and help for a year longer
MESSAGES_A_DAY = 5  # from one page; house policy
DANGERS_A_DAY = 50  # of these alone, so that nobody floods; a shock is heard after five other messages. House policy.
_TOKEN = re.compile(rf"[{SIGNS}]{{{LENGTH}}}")


def new_token() -> str:
    """Return an address nobody can guess."""
    return "".join(secrets.choice(SIGNS) for _ in range(LENGTH))


def links(job: Job) -> QuerySet[BuyerLink]:
    """Return the addresses of a job's page: a machine that came back keeps the page of its sale."""
    return BuyerLink.objects.filter(job_id=job.first_job_id or job.pk)


def _ours_again() -> Q:
    """What closes a page: its machine came back and is ours, by how that return ended or by the buyer's cancelling.

    Read, not written down: undoing the ending or the buyer's word opens the page again by itself.
    """
    returns = Job.objects.filter(first_job=OuterRef("job"))
    kept = returns.filter(closed_at__isnull=False).exclude(closed_as=ClosedAs.GIVEN_BACK)
    cancelled = Sale.objects.filter(CANCELLED_LATER, job=OuterRef("job"))
    return Q(Exists(kept)) | (Q(Exists(returns.open())) & Q(Exists(cancelled)))


def is_ours_again(job: Job) -> bool:
    """Say whether the page is closed because its machine is the workshop's again."""
    return links(job).filter(_ours_again()).exists()


def sheets(job: Job) -> QuerySet[Sheet]:
    """Return the sheets its page may show: those of the sale and of the times it came back."""
    sale = job.first_job_id or job.pk
    return Sheet.objects.filter(Q(job_id=sale) | Q(job__first_job_id=sale)).order_by("-number")


def standing(job: Job) -> BuyerLink | None:
    """Return the address that opens this job's page, if one stands."""
    return links(job).filter(withdrawn_at__isnull=True).select_related("job__machine", "sheet").first()


def standing_token(job: Job) -> str:
    """Return the token of the standing address, or nothing."""
    link = standing(job)
    return link.token if link else ""


def token_for(job: Job) -> str:
    """Return the token the next sheet prints: the standing one; a new one on the first sheet; none once withdrawn."""
    if token := standing_token(job):
        return token
    return "" if links(job).exists() else new_token()


def show(act: Act, sheet: Sheet, token: str, begins_on: date) -> None:
    """Let the address that a sheet prints show that sheet; the first sheet makes it. Call it inside an act.

    :raises Stale: when another press changed the address while the sheet was drawn
    """
    link = standing(sheet.job)
    if (link.token if link else "") != token and (link or links(sheet.job).exists()):
        raise Stale({"The buyer's page": "got another address meanwhile. Press again."})
    if link:
        link.sheet, link.expires_on = sheet, _last_day(link.job, begins_on)
        link.save(update_fields=["sheet", "expires_on"])
    elif token:
        _make(act, sheet, token, begins_on)


def _make(act: Act, sheet: Sheet, token: str, begins_on: date) -> BuyerLink:
    return BuyerLink.objects.create(
        job_id=sheet.job.first_job_id or sheet.job_id,
        sheet=sheet,
        token=token,
        expires_on=_last_day(sheet.job, begins_on),
        made_at=act.at,
        made_by=act.by,
    )


def _last_day(job: Job, begins_on: date) -> date:
    """Return the last day a page opens: counted from the first handing over once there is one, and then it stays."""
    sale = job.first_job_id or job.pk
    handed = HandedOver.objects.filter(job_id=sale, withdrawn_at__isnull=True).only("at").first()
    if handed is not None:
        begins_on = timezone.localtime(handed.at).date()
    months = Shop.objects.values_list("warranty_months", flat=True).get(pk=1)
    return add_months(begins_on, months + MONTHS_AFTER_WARRANTY)


def last_from(job: Job, day: date) -> None:
    """Count the page's last day from the day of handing over. Call it inside an act, after the handing over."""
    links(job).update(expires_on=_last_day(job, day))


def renew(act: Act, job: Job, *, seen: int | None = None) -> JournalEntry:
    """Make a new address; the old one opens nothing any more.

    `seen`: the key of the address that stood when it was asked for, 0 for none.

    :raises Refused: before a sheet was issued
    :raises Stale: when another address was made, withdrawn or put back meanwhile
    """
    with acts.once(act):
        sheet = sheets(job).select_related("job").first()
        if sheet is None:
            raise Refused("Issue the handover sheet first: the page shows it.")
        old = standing(job)
        stands = old.pk if old else 0
        if seen is not None and seen != stands:
            now = "has another address now" if old else "was withdrawn meanwhile"
            raise Stale({"The buyer's page": f"{now}. Press again for a new one."}, stands)
        if old:
            _take_off(act, old)
        before = links(job).order_by("-pk").first()
        row = _make(act, sheet, new_token(), act.day)
        if before:  # another address is not another span: the last day stays
            BuyerLink.objects.filter(pk=row.pk).update(expires_on=before.expires_on)
        return acts.write(act, "renew_buyer_link", "Made a new address for the buyer's page", row, job=job)


def withdraw(act: Act, link: BuyerLink) -> JournalEntry:
    """Withdraw the page: its address opens nothing any more. :raises Refused: when it was withdrawn already."""
    with acts.once(act):
        _take_off(act, link)
        return acts.write(act, "withdraw_buyer_link", "Withdrew the buyer's page", link, job=link.job)


def put_back(act: Act, link: BuyerLink) -> JournalEntry:
    """Undo withdrawing. :raises Refused: when it stands, or another address does."""
    with acts.once(act):
        _put_on(link)
        return acts.write(act, "put_back_buyer_link", "The buyer's page opens again", link, job=link.job)


def take_back_renewal(act: Act, link: BuyerLink) -> JournalEntry:
    """Undo a new address: it opens nothing, and the one that it replaced opens again."""
    with acts.once(act):
        _take_off(act, link)
        old = BuyerLink.objects.filter(job=link.job, withdrawn_at=link.made_at).first()
        if old:
            _put_on(old)
        words = "The buyer's page has its old address again"
        return acts.write(act, "take_back_buyer_link", words, link, job=link.job)


def _take_off(act: Act, link: BuyerLink) -> None:
    if link.withdrawn_at is not None:
        raise Refused("This address was withdrawn already.")
    link.withdrawn_at, link.withdrawn_by = act.at, act.by
    link.save(update_fields=["withdrawn_at", "withdrawn_by"])


def _put_on(link: BuyerLink) -> None:
    if link.withdrawn_at is None or standing(link.job):
        raise Refused("The page has an address that opens it.")
    link.sheet = sheets(link.job).first() or link.sheet
    link.withdrawn_at = link.withdrawn_by = None
    link.save(update_fields=["sheet", "withdrawn_at", "withdrawn_by"])


def as_asked(token: str) -> str:
    """Return a token as it may be looked up: one that cannot be ours is asked for as nothing, at the same cost."""
    return token if _TOKEN.fullmatch(token) else ""


def opened(token: str, today: date) -> BuyerLink | None:
    """Return the page behind a token, or nothing: unknown, withdrawn, expired and closed ones cost the same."""
    rows = BuyerLink.objects.select_related("sheet", "job__machine__notes")
    rows = rows.exclude(_ours_again())
    return rows.filter(token=as_asked(token), withdrawn_at__isnull=True, expires_on__gte=today).first()


def write_to_us(link: BuyerLink, at: datetime, *, key: str, trouble: str, since: str, words: str) -> BuyerMessage:
    """Keep what a buyer wrote; the same form pressed twice is one message.

    :raises Refused: when today's messages of this page are used up
    """
    try:
        with transaction.atomic():
            if known := BuyerMessage.objects.filter(key=key).first():
                return known
            if _used_up(link, at, danger=trouble in DANGERS):
                raise Refused(_("You wrote to us several times today. Please call instead."))
            row = BuyerMessage.objects.create(link=link, key=key, trouble=trouble, since=since, words=words, at=at)
            with translation.override(settings.LANGUAGE_CODE):  # what the workshop looks for is in its own language
                found.refresh(link.job)
            return row
    except IntegrityError:  # the other press of the same form was first
        return BuyerMessage.objects.get(key=key)


def _used_up(link: BuyerLink, at: datetime, *, danger: bool) -> bool:
    rows = BuyerMessage.objects.filter(link=link, at__gt=at - timedelta(days=1))
    return rows.dangers().count() >= DANGERS_A_DAY if danger else rows.count() >= MESSAGES_A_DAY
