"""People: who is known, what is held of one, how long their name must stand in the book, whose day has come."""

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Q

from handover import privacy as handover_privacy
from intake import privacy as intake_privacy
from intake.models import Purchase
from workshop.core import privacy
from workshop.core.models import Job, LockedIdentity, Person, Shop
from workshop.core.search import fold, folds
from workshop.core.templatetags.measures import day
from workshop.pricing import privacy as pricing_privacy
from workshop.pricing.models import Sale
from workshop.trade.money.rules import TaxRule
from workshop.trade.privacy import retention

ROOMS = (privacy.ROOM, intake_privacy.ROOM, pricing_privacy.ROOM, handover_privacy.ROOM)
SHOWN = 50  # people on the page; a name or phone narrows them. House policy.


@dataclass(frozen=True, slots=True)
class PersonRow:
    """One person of the list."""

    pk: int
    name: str
    words: str
    erased: bool


@dataclass(frozen=True, slots=True)
class Book:
    """How long the book needs a person's name: until a day, or until a machine is sold, or nobody knows."""

    needed: bool
    until: date | None  # the last day; None where it is not known, or not yet
    words: str
    ask: str  # the sentence that asks for advice, where no rule was read


def rows(words: str) -> list[PersonRow]:
    """Return people whose name, phone or e-mail holds these words; the newest without any. Five queries at most."""
    found = Person.objects.order_by("-pk")
    if words:
        found = found.filter(pk__in=_holding(words))
    people = list(found[:SHOWN])
    sold = _machines(Purchase.objects.filter(seller__in=people).values_list("seller", "job__machine__name"))
    sales = Sale.objects.filter(buyer__in=people, cancelled_at__isnull=True)
    pairs = sales.values_list("buyer", "job__machine__name")
    bought = _machines(pairs.filter(job__closed_at__isnull=False))
    agreed = _machines(pairs.filter(job__closed_at__isnull=True))
    return [
        PersonRow(p.pk, p.name, _words(sold.get(p.pk), bought.get(p.pk), agreed.get(p.pk)), p.erased_at is not None)
        for p in people
    ]


def _holding(words: str) -> list[int]:
    """Return the newest people who have each of these words, whatever the case and the accents, a phone however spaced.

    Every person is read: who asks to be forgotten must be found, and the database folds only what its kind can.
    """
    wanted, digits = fold(words).split(), re.sub(r"\D", "", words)
    found = []
    for pk, name, phone, email in Person.objects.order_by("-pk").values_list("pk", "name", "phone", "email"):
        simple = name.isascii() and "'" not in name  # most are, and folding takes long
        text = f"{name}\n{email}".casefold() if simple else "\n".join((*folds(name), email.casefold()))
        if all(word in text for word in wanted) or (len(digits) > 2 and digits in re.sub(r"\D", "", phone)):
            found.append(pk)
        if len(found) == SHOWN:
            break
    return found


def _machines(pairs: Iterable[tuple[int, str]]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    for person, machine in pairs:
        found.setdefault(person, []).append(machine)
    return found


def _words(sold: list[str] | None, bought: list[str] | None, agreed: list[str] | None) -> str:
    parts = (("sold us", sold), ("bought", bought), ("has agreed to buy", agreed))
    return "; ".join(f"{did} {', '.join(names)}" for did, names in parts if names)


def held(person: Person) -> dict[str, list[dict[str, Any]]]:
    """Return every row that the house holds of one person, by what it is; nothing that is empty."""
    found: dict[str, list[dict[str, Any]]] = {}
    for room in ROOMS:
        found |= {name: lines for name, lines in room.held(person).items() if lines}
    return found


def blocks(person: Person) -> list[str]:
    """Return why a person cannot be erased yet, in sentences."""
    return [sentence for room in ROOMS for sentence in room.blocks(person)]


def jobs(person: Person) -> list[int]:
    """Return the jobs a person had to do with, and the returns of these."""
    theirs = Q(purchase__seller=person) | Q(sales__buyer=person)
    first = list(Job.objects.filter(theirs).values_list("pk", flat=True))
    return list(Job.objects.filter(Q(pk__in=first) | Q(first_job__in=first)).values_list("pk", flat=True))


def book(person: Person) -> Book:
    """Return how long the book needs this person's name."""
    return _books([person.pk])[person.pk]


def _books(people: Collection[int]) -> dict[int, Book]:
    """Return how long the book needs the name of each. Five queries for any number of people."""
    shop = Shop.objects.get(pk=1)
    entries: dict[int, list[date | None]] = {pk: [] for pk in people}
    for room in ROOMS:
        for pk, days in room.entries(people).items():
            entries[pk] += days
    typed = dict(LockedIdentity.objects.filter(person__in=people).values_list("person", "typed_until_on"))
    rules = {pk: {TaxRule(shop.tax_rule)} for pk in people}
    for pk, rule in Purchase.objects.filter(seller__in=people).values_list("seller", "tax_rule"):
        rules[pk].add(TaxRule(rule))
    return {pk: _book(shop.country, entries[pk], rules[pk], typed.get(pk)) for pk in people}


def _book(country: str, entries: Sequence[date | None], rules: Iterable[TaxRule], typed: date | None) -> Book:
    if not entries:
        return Book(False, None, "They stand in no book.", "")
    ask = retention.not_known(country)
    if None in entries:
        return Book(True, None, "Until the machine they sold us has gone, and as long as the book is kept then.", ask)
    ends = [retention.last_day(country, rule, entry) for entry in entries if entry for rule in rules]
    until = max([last for last in (*ends, typed) if last], default=None)
    if until is None or (ask and not typed):
        return Book(True, None, "How long is not known here.", ask)
    return Book(True, until, f"Until {day(until)}.", "" if typed else ask)


def due(today: date) -> list[Person]:
    """Return those erased people whose name the book needs no longer. Six queries for any number of people."""
    found = list(Person.objects.filter(locked__isnull=False).order_by("pk"))
    books = _books([person.pk for person in found])
    return [person for person in found if (until := books[person.pk].until) is not None and until < today]
