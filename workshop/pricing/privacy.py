"""What pricing holds of buyers and sellers: sales, payments, how a job ended with somebody."""

from collections import defaultdict
from collections.abc import Collection
from datetime import date
from typing import Any

from django.db.models import Q

from workshop.core import privacy
from workshop.core.acts import Act
from workshop.core.models import Person
from workshop.pricing.models import TOOK_IT, Ending, Payment, Sale, SaleLine


def _sales(person: Person) -> Any:
    return Sale.objects.filter(buyer=person).select_related("job__machine")


def _payments(person: Person) -> Any:
    return Payment.objects.filter(Q(sale__buyer=person) | Q(purchase__seller=person))


def _endings(person: Person) -> Any:
    theirs = Sale.objects.filter(TOOK_IT, buyer=person).values("job")
    return Ending.objects.filter(Q(person=person) | Q(job__in=theirs))


def _held(person: Person) -> dict[str, list[dict[str, Any]]]:
    return {
        "bought from us": privacy.rows(_sales(person)),
        "extras": privacy.rows(SaleLine.objects.filter(sale__buyer=person)),
        "payments": privacy.rows(_payments(person)),
        "how it ended": privacy.rows(_endings(person)),
    }


def _blocks(person: Person) -> list[str]:
    sentences = []
    for sale in _sales(person).order_by("pk"):
        if sale.cancelled_at is None and sale.job.closed_at is None:
            sentences.append(f"{sale.job.machine} is reserved for them. Hand it over, or cancel the reservation first.")
        elif not sale.settled:
            sentences.append(f"Money is still open for {sale.job.machine}. Settle it first: see Owed.")
    return sentences


def _entries(people: Collection[int]) -> dict[int, list[date | None]]:
    found: dict[int, list[date | None]] = defaultdict(list)
    for buyer, on in Sale.objects.filter(buyer__in=people).values_list("buyer", "agreed_on"):
        found[buyer].append(on)
    return found


def _forget(act: Act, person: Person) -> list[str]:
    said = privacy.empty(_payments(person), words="")
    return said + privacy.empty(_endings(person), owed_words="")


ROOM = privacy.Room(
    covers=frozenset({"pricing.Sale.buyer", "pricing.Ending.person"}),
    held=_held,
    forget=_forget,
    blocks=_blocks,
    entries=_entries,
)
