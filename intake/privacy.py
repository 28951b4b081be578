"""What intake holds of a seller: purchases, what they said, the seller's record."""

from collections import defaultdict
from collections.abc import Collection
from datetime import date
from typing import Any

from django.utils import timezone

from intake.models import Purchase, SellerRecord
from intake.seller_record import STANDARD_WORDS
from workshop.core import privacy
from workshop.core.acts import Act
from workshop.core.models import Person, Shop
from workshop.trade.money.rules import TaxRule
from workshop.trade.safety.records import Ask, asked, rules_for

_KEPT_IN = {
    Ask.ID_KIND: ("id_kind",),
    Ask.ID_NUMBER: ("id_number", "id_last"),
    Ask.BORN_ON: ("born_on",),
    Ask.DECLARATION: ("declared_words",),
    Ask.SIGNATURE: ("signed_on",),
}


def _purchases(person: Person) -> Any:
    return Purchase.objects.filter(seller=person).select_related("job")


def _held(person: Person) -> dict[str, list[dict[str, Any]]]:
    records = SellerRecord.objects.filter(purchase__seller=person)
    return {"sold to us": privacy.rows(_purchases(person)), "seller's record": privacy.rows(records)}


def _entries(people: Collection[int]) -> dict[int, list[date | None]]:
    found: dict[int, list[date | None]] = defaultdict(list)
    for seller, at in Purchase.objects.filter(seller__in=people).values_list("seller", "job__closed_at"):
        found[seller].append(timezone.localtime(at).date() if at else None)
    return found


def _locked(person: Person) -> dict[str, Any]:
    """Return what the place's dealer law asks of the record; what it does not ask is not kept."""
    shop = Shop.objects.get(pk=1)
    kept: dict[str, Any] = {}
    for row in _purchases(person).select_related("seller_record").order_by("pk"):
        wants = asked(rules_for(shop.country, TaxRule(row.tax_rule)))
        record = getattr(row, "seller_record", None)
        names = [name for ask, names in _KEPT_IN.items() if ask in wants for name in names]
        if names and record is not None:
            kept[f"record {record.pk}"] = {name: str(getattr(record, name) or "") for name in names}
        if Ask.PLACE in wants and row.bought_at:
            kept[f"bought at, purchase {row.pk}"] = row.bought_at
        if Ask.PHONE in wants:
            kept["phone"] = person.phone
    return kept


def _forget(act: Act, person: Person) -> list[str]:
    said: list[str] = []
    for row in _purchases(person):
        said += privacy.words_before(row, "said", "bought_at")
    said += privacy.empty(_purchases(person).exclude(said=""), said=privacy.ERASED)
    said += privacy.empty(_purchases(person), bought_at="")
    records = SellerRecord.objects.filter(purchase__seller=person)
    own = records.exclude(declared_words__in=("", STANDARD_WORDS))
    said += privacy.empty(own, declared_words=privacy.ERASED)
    said += privacy.empty(records, id_number="", id_last="")
    records.update(id_kind="", born_on=None)
    return said


ROOM = privacy.Room(
    covers=frozenset({"intake.Purchase.seller"}), held=_held, forget=_forget, entries=_entries, locked=_locked
)
