"""The words of a care reminder, in the language of the sheet: to copy, and as the e-mail."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.conf import settings
from django.utils import translation
from django.utils.translation import gettext as _

from handover import buyer_address
from handover.models import BuyerLink
from handover.sheet import NBSP, CareRow, SheetContent, say_date
from workshop.core.models import Shop


@dataclass(frozen=True, slots=True)
class Words:
    """One reminder: its subject and its text. `language` is the one it is written in."""

    subject: str
    text: str
    language: str


def of(content: SheetContent, codes: Collection[str], due_on: date, link: BuyerLink | None, shop: Shop) -> Words:
    """Return the words for the tasks of one machine that fall due on a day."""
    with translation.override(content.language):
        said = {"name": content.name, "day": say_date(due_on), "workshop": shop.name}
        subject = _("Care of %(name)s, due on %(day)s") % said
        greeting = _("Hello, this is %(workshop)s. Your machine %(name)s is due for care on %(day)s:") % said
        parts = [greeting, *(_task(row) for row in content.care if row.code in codes), *_last(link, shop)]
        text = "\n\n".join(parts).replace(NBSP, " ")
        return Words(subject.replace(NBSP, " "), text, content.language)


def _task(row: CareRow) -> str:
    return f"- {row.words}. {row.why}".rstrip()


def _last(link: BuyerLink | None, shop: Shop) -> list[str]:
    lines = []
    if link is not None and buyer_address.reachable(settings.PUBLIC_URL):
        lines.append(_("Your settings and all care dates: %(address)s") % {"address": buyer_address.of(link.token)})
    if shop.phone:
        lines.append(_("Something unclear, or not as it should be? Call us first: %(phone)s") % {"phone": shop.phone})
    return lines


def why_you_get_this(language: str) -> str:
    """Return what an e-mail ends with: why it comes, and how it stops."""
    with translation.override(language):
        return _("You agreed to be reminded by e-mail. Answer this message and we stop.")
