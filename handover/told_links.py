"""Told by link: making and withdrawing the address, opening it, and the buyer's "I have read this"."""

from datetime import date, datetime, timedelta
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import translation

from handover import buyer_links, compose, stations
from handover.models import Told, ToldLink
from handover.words import ToldBy
from intake import pages as intake_pages
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry

OPEN_DAYS = 14  # long enough to think it over, short enough that the machine is still as shown. House policy.


def make(act: Act, job: Job, *, language: str) -> JournalEntry:
    """Make an address that shows a buyer what is told before agreeing, as it stands now.

    :raises Refused: once the machine has gone, or while nobody has looked it over
    """
    with acts.once(act):
        if words := stations.ended(job):
            raise Refused(words)
        with translation.override(language):
            telling = compose.to_tell(job)
        if telling.nothing_known:
            raise Refused(telling.nothing_known)
        row = ToldLink.objects.create(
            job=job,
            token=buyer_links.new_token(),
            content={
                "marks": with_photos(job, telling.marks),
                "left": telling.left,
                "not_tested": telling.not_tested,
            },
            language=language,
            expires_on=act.day + timedelta(days=OPEN_DAYS),
            made_at=act.at,
            made_by=act.by,
        )
        return acts.write(act, "make_told_link", "Made an address for a buyer to read before agreeing", row, job=job)


def with_photos(job: Job, marks: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the marks told, each with the store's address of its photo, or none."""
    photos = {mark.number: mark.photo_sha for mark in intake_pages.marks_for_sheet(job)}
    return [{**mark, "photo": photos.get(mark["number"])} for mark in marks]


def withdraw(act: Act, link: ToldLink) -> JournalEntry:
    """Withdraw an address: it opens nothing any more. :raises Refused: when it was withdrawn already."""
    with acts.once(act):
        standing = ToldLink.objects.filter(pk=link.pk, withdrawn_at__isnull=True)
        if not standing.update(withdrawn_at=act.at, withdrawn_by=act.by):
            raise Refused("This address was withdrawn already.")
        words = "Withdrew the address a buyer reads before agreeing"
        return acts.write(act, "withdraw_told_link", words, link, job=link.job)


def put_back(act: Act, link: ToldLink) -> JournalEntry:
    """Undo withdrawing. :raises Refused: when it stands."""
    with acts.once(act):
        withdrawn = ToldLink.objects.filter(pk=link.pk, withdrawn_at__isnull=False)
        if not withdrawn.update(withdrawn_at=None, withdrawn_by=None):
            raise Refused("This address opens already.")
        words = "The address a buyer reads before agreeing opens again"
        return acts.write(act, "put_back_told_link", words, link, job=link.job)


def opened(token: str, today: date) -> ToldLink | None:
    """Return what a token opens, or nothing: unknown, withdrawn, expired, of a machine that has gone."""
    rows = ToldLink.objects.select_related("job__machine__notes")
    asked = buyer_links.as_asked(token)
    standing = rows.filter(token=asked, withdrawn_at__isnull=True, expires_on__gte=today)
    return standing.filter(job__closed_at__isnull=True).first()


def read_at(link: ToldLink) -> datetime | None:
    """Return when the buyer pressed that they have read it."""
    return Told.objects.filter(link=link).values_list("at", flat=True).first()


def read(link: ToldLink, at: datetime) -> Told:
    """Date that a buyer has read what the address shows. No signed-in person acts; pressed twice it is one record."""
    try:
        with transaction.atomic():
            if known := Told.objects.filter(link=link).first():
                return known
            told = {name: link.content[name] for name in ("left", "not_tested")}
            marks = [{name: mark[name] for name in ("id", "number", "words")} for mark in link.marks]
            return Told.objects.create(job=link.job, how=ToldBy.LINK, link=link, marks=marks, at=at, **told)
    except IntegrityError:  # the other press was first
        return Told.objects.get(link=link)
