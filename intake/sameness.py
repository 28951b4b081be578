"""Is this seller somebody we bought from before? Names and phones are compared as people hear them, not as typed."""

import re
import unicodedata
from dataclasses import dataclass

from django.db.models import QuerySet, Value
from django.db.models.functions import Upper

from intake.models import Purchase
from workshop.core.models import Machine, ModelNotes, Shop
from workshop.core.templatetags.measures import day, money

LOOK_BACK = 2000  # latest purchases that are searched: an old house stays as quick as a new one. House policy.
SHOWN = 5  # earlier machines named for one person. House policy.
_TELLING = 9  # figures that tell two phones apart when one was typed with its country. House policy.
_UNDECOMPOSED = str.maketrans({"ł": "l", "ø": "o", "đ": "d", "æ": "ae", "œ": "oe"})


def folded(name: str) -> str:
    """Return a name without accents, case, points and double spaces: "  RENÉ O'Dell" is "rene o dell"."""
    plain = unicodedata.normalize("NFKD", name.casefold().translate(_UNDECOMPOSED))
    letters = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return " ".join(re.findall(r"\w+", letters))


def same_phone(one: str, other: str) -> bool:
    """Say whether two phones are one: figures only, with or without the country. Two empty ones are not."""
    a, b = (re.sub(r"\D", "", text).lstrip("0") for text in (one, other))
    if not a or not b:
        return False
    short, long = sorted((a, b), key=len)
    return a == b or (len(short) >= _TELLING and long.endswith(short))


@dataclass(frozen=True, slots=True)
class Earlier:
    """A person bought from before, who may be this seller; `is_seller`: the same row already."""

    pk: int
    name: str
    phone: str
    match: str
    is_seller: bool
    bought: tuple[tuple[str, str, str], ...]  # machine, its slug, when and for how much


def bearers(notes: ModelNotes | None, serial: str) -> QuerySet[Machine]:
    """Return the machines of this model that bear this serial, in whichever case it was typed; the index answers."""
    if notes is None or not serial:
        return Machine.objects.none()
    same = Machine.objects.alias(folded=Upper("serial")).filter(folded=Upper(Value(serial)))
    return same.filter(notes=notes).order_by("pk")


def bearer(notes: ModelNotes | None, serial: str) -> Machine | None:
    """Return the machine of this model that bears this serial already, the newest of several."""
    return bearers(notes, serial).last()


def earlier(purchase: Purchase, shop: Shop) -> list[Earlier]:
    """Return who of the earlier sellers may be this one, with what was bought from them: two queries."""
    seller = purchase.seller
    if seller is None:
        return []
    rows = _others(purchase).filter(seller__isnull=False).order_by("-pk")
    people = {pk: (name, phone) for pk, name, phone in rows.values_list(*_PERSON)[:LOOK_BACK]}
    known = {pk: _match(seller.name, seller.phone, *person) for pk, person in people.items() if pk != seller.pk}
    if seller.pk in people:
        known[seller.pk] = "the same person"
    found = {pk: match for pk, match in known.items() if match}
    bought = _bought(purchase, list(found), shop)
    first = sorted(found, key=lambda pk: (pk != seller.pk, pk))
    return [Earlier(pk, *people[pk], found[pk], pk == seller.pk, tuple(bought[pk])) for pk in first]


def _others(purchase: Purchase) -> QuerySet[Purchase]:
    """Return the other purchases; machines of one lot were not bought before one another."""
    rows = Purchase.objects.exclude(pk=purchase.pk)
    return rows.exclude(lot=purchase.lot_id) if purchase.lot_id else rows


_PERSON = ("seller_id", "seller__name", "seller__phone")


def _match(name: str, phone: str, other_name: str, other_phone: str) -> str:
    """Return in words what is alike; empty when nothing is."""
    named, called = folded(name) == folded(other_name), same_phone(phone, other_phone)
    if named and called:
        return "same name, same phone"
    if named:
        return "same name, another phone" if phone and other_phone else "same name, a phone is missing"
    return "same phone, another name" if called else ""


def _bought(purchase: Purchase, people: list[int], shop: Shop) -> dict[int, list[tuple[str, str, str]]]:
    found: dict[int, list[tuple[str, str, str]]] = {pk: [] for pk in people}
    rows = _others(purchase).filter(seller__in=people).select_related("job__machine")
    for row in rows.order_by("-acquired_on", "-pk")[: SHOWN * max(1, len(people))]:
        machine = row.job.machine
        line = (machine.name, machine.slug, f"{day(row.acquired_on)}, {money(row.price_minor, shop)}")
        if row.seller_id in found:
            found[row.seller_id].append(line)
    return found
