"""Writers of drafts: typing on its way, kept for its own writer. A draft is no act: nothing goes into the journal."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import QuerySet

from workshop.core.models import Draft, User

KEPT_FOR = timedelta(days=14)  # as long as a session. House policy.


def save_draft(user: User, page: str, form: str, fields: Mapping[str, Sequence[str]], *, at: datetime) -> None:
    """Keep what was typed into a form, in place of what was kept before; sweep everybody's old drafts."""
    with transaction.atomic():
        Draft.objects.filter(at__lte=at - KEPT_FOR).delete()
        Draft.objects.update_or_create(user=user, page=page, form=form, defaults={"fields": dict(fields), "at": at})


def drop_draft(user: User, page: str, form: str) -> None:
    """Forget what was typed into a form: it was sent, or is not wanted."""
    Draft.objects.filter(user=user, page=page, form=form).delete()


def drafts_of(user: User, page: str, *, at: datetime) -> QuerySet[Draft]:
    """Return this person's own drafts of a page that are not too old."""
    return Draft.objects.filter(user=user, page=page, at__gt=at - KEPT_FOR).order_by("form")
