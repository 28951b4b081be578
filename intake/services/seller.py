"""Writers of the seller's record: what the place asks of the seller, and who the seller is."""

from collections.abc import Collection, Mapping
from typing import Any

from django.db.models import F

from intake import found
from intake.models import Purchase, SellerRecord
from intake.seller_record import LAST_DIGITS
from workshop.core import acts, search
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry, Person, Shop
from workshop.core.words import Area, FoundIn
from workshop.trade.money.rules import TaxRule
from workshop.trade.safety.records import Ask, asked, rules_for

PRIVATE = {"born_on": Ask.BORN_ON, "id_number": Ask.ID_NUMBER}
_OF_PERSON = ("phone", "address")


def record_of(purchase: Purchase) -> SellerRecord:
    """Return the seller's record of a purchase, an unsaved empty one before the first was kept."""
    return SellerRecord.objects.filter(purchase=purchase).first() or SellerRecord(purchase=purchase, version=0)


def save_seller_record(
    act: Act, shop: Shop, purchase: Purchase, version: int, values: Mapping[str, Any]
) -> JournalEntry:
    """Keep what was written down of the seller; `values`: columns of SellerRecord, phone and address of the seller.

    The journal names the fields that changed, never what they hold. Version 0 is a record not kept before.
    :raises Refused: by another than the owner, private values where the place does not ask for them, a day in
        the future. :raises Stale: when somebody else changed it meanwhile.
    """
    with acts.once(act):
        _refuse(act, shop, purchase, values)
        columns = {name: value for name, value in values.items() if name not in _OF_PERSON}
        if columns.get("id_number"):
            columns["id_last"] = columns["id_number"][-LAST_DIGITS:]
        row, _ = SellerRecord.objects.get_or_create(purchase=purchase, defaults={"version": 0})
        _, after = acts.change(row, version, {**columns, **_declared(act, row, columns)})
        fields = sorted([*after, *_change_person(purchase.seller, values)])
        if purchase.seller is not None:
            search.person_changed(purchase.seller)
        sentence = f"Kept the seller's record of {purchase.job.machine}"
        return acts.write(
            act, "save_seller_record", sentence, row, job=purchase.job, area=Area.PERSON, after={"fields": fields}
        )


def _refuse(act: Act, shop: Shop, purchase: Purchase, values: Mapping[str, Any]) -> None:
    if not act.by.is_owner:
        raise Refused("Only the owner of the workshop may keep or change the seller's record.")
    wanted = asked(rules_for(shop.country, TaxRule(purchase.tax_rule)))
    for name, ask in PRIVATE.items():
        if values.get(name) and ask not in wanted:
            raise Refused(f"Your place does not ask for the {ask.label}. Leave it empty.", field=name)
    for name in ("born_on", "signed_on"):
        if (typed := values.get(name)) and typed > act.day:
            raise Refused("This date is in the future. Check the year.", field=name)


def _declared(act: Act, row: SellerRecord, columns: Mapping[str, Any]) -> dict[str, Any]:
    """Return when and by whom a declaration was accepted: new words are accepted anew."""
    words = columns.get("declared_words", row.declared_words)
    if words == row.declared_words:
        return {}
    return {"declared_at": act.at if words else None, "declared_by": act.by if words else None}


def _change_person(seller: Person | None, values: Mapping[str, Any]) -> list[str]:
    if seller is None:
        return []
    changed = {name: values[name] for name in _OF_PERSON if name in values and values[name] != getattr(seller, name)}
    if changed:
        Person.objects.filter(pk=seller.pk).update(**changed, version=F("version") + 1)
    return [f"seller.{name}" for name in changed]


def lot_mates(purchase: Purchase) -> list[int]:
    """Return the other purchases of its lot that name the same seller, by id."""
    if purchase.lot_id is None or purchase.seller_id is None:
        return []
    same = Purchase.objects.filter(lot=purchase.lot_id, seller=purchase.seller_id).exclude(pk=purchase.pk)
    return list(same.order_by("pk").values_list("pk", flat=True))


def use_seller(
    act: Act, purchase: Purchase, version: int, person: Person, *, mates: Collection[int] = ()
) -> JournalEntry:
    """Say that the seller is a person bought from before; what was typed anew fills only what is empty there.

    `mates`: purchases of the same lot that get the same seller.
    :raises Refused: not by the owner, or the same already. :raises Stale: when the purchase changed meanwhile
    """
    with acts.once(act):
        if not act.by.is_owner:
            raise Refused("Only the owner of the workshop may say that two sellers are one person.")
        if purchase.seller_id == person.pk:
            raise Refused("This person is the seller already.")
        if purchase.seller is not None:
            _fill_gaps(purchase.seller, person)
        before, after = acts.change(purchase, version, {"seller": person})
        found.refresh(purchase.job, FoundIn.SELLER)
        others = _use_for(mates, purchase, person)
        whose = f"{purchase.job.machine} and of {others} more of its lot" if others else str(purchase.job.machine)
        sentence = f"The seller of {whose} is somebody we bought from before"
        after |= {"mates": list(mates)} if others else {}
        return acts.write(
            act, "use_seller", sentence, purchase, job=purchase.job, area=Area.MONEY, before=before, after=after
        )


def _use_for(mates: Collection[int], purchase: Purchase, person: Person) -> int:
    rows = list(Purchase.objects.filter(pk__in=mates, lot=purchase.lot_id).select_related("job")) if mates else []
    for row in rows:
        acts.change(row, row.version, {"seller": person})
        found.refresh(row.job, FoundIn.SELLER)
    return len(rows)


def _fill_gaps(typed: Person, known: Person) -> None:
    """Carry phone and address over where the known person has none; what they have is never overwritten."""
    gaps = {name: getattr(typed, name) for name in _OF_PERSON if getattr(typed, name) and not getattr(known, name)}
    if gaps:
        Person.objects.filter(pk=known.pk).update(**gaps, version=F("version") + 1)
