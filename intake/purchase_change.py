"""A change of how a machine was bought, in words; and what a standing hold asks of it."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from intake.models import Purchase
from workshop.core.acts import Act, Refused
from workshop.core.models import Shop
from workshop.core.templatetags.measures import day, money

OWNERS_WHILE_HELD = (
    "A hold by law stands on this machine. Only the owner of the workshop may change its day, price or seller."
)
_NONE = "nothing"


def is_held(purchase: Purchase, today: date) -> bool:
    """Say whether the law's hold of this purchase stands on that day."""
    return purchase.hold_until_on is not None and today < purchase.hold_until_on


def because(act: Act, purchase: Purchase, columns: Mapping[str, Any], words: str) -> str:
    """Return the reason that a change of the day leaves in the record, "" where it leaves a standing hold as long.

    :raises Refused: when a standing hold would end earlier, or vanish, without a reason
    """
    if "hold_until_on" not in columns or not is_held(purchase, act.day):
        return ""
    until, now = columns["hold_until_on"], purchase.hold_until_on
    if until is not None and now is not None and until >= now:
        return words
    if not words:
        ends = f"would end on {day(until)}" if until else "would vanish"
        raise Refused(f"The hold until {day(now)} {ends}. Say why the day is another one.", field="because")
    return words


def sentence(purchase: Purchase, shop: Shop, before: Mapping[str, Any], after: Mapping[str, Any], reason: str) -> str:
    """Return what changed, each field with its old and new words: "Bought on 2 May 2026 -> 1 May 2026: ...".

    The seller is only said to have changed: a person's values never go into the journal.
    """
    told = [
        f"{label} {_words(name, before[name], shop)} -> {_words(name, after[name], shop)}"
        for name, label in _LABELS.items()
        if name in after
    ]
    told += ["the seller"] if "seller" in after else []
    if not told:
        return f"Saved the purchase of {purchase.job.machine} as it was"
    if "acquired_on" in after and reason:
        told[0] += f": {reason}"
    words = "; ".join(told)
    return words if "acquired_on" in after else f"Changed the purchase of {purchase.job.machine}: {words}"


_LABELS = {
    "acquired_on": "Bought on",
    "hold_until_on": "on hold until",
    "price_minor": "price",
    "bought_at": "bought at",
    "payment_method": "paid by",
}


def _words(name: str, value: Any, shop: Shop) -> str:
    if name == "price_minor":
        return money(value, shop)
    return (day(value) if isinstance(value, date) else str(value or "")) or _NONE
