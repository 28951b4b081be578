"""Writers of the purchase: who sold it, for how much, when; and the hold that follows from it."""

import re
from collections.abc import Collection, Mapping
from datetime import date
from typing import Any

from intake import found, purchase_change
from intake.models import Nothing, Purchase
from intake.words import NothingOf
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry, Person, Shop
from workshop.core.words import Area, FoundIn
from workshop.trade.safety.holds import hold_until


def seller_known_as(name: str, phone: str) -> Person | None:
    """Return the person of that name and phone, adding them when they are new; None without a name.

    Case, and how the phone's figures are spaced, do not matter. Call it inside an act.
    """
    cleaned = " ".join(name.split())
    if not cleaned:
        return None
    for person in Person.objects.filter(name__iexact=cleaned).order_by("pk"):
        if _figures(person.phone) == _figures(phone):
            return person
    return Person.objects.create(name=cleaned, phone=phone.strip())


def sellers_named(names: Collection[str]) -> dict[str, Person]:
    """Return the people of these names that have no phone, by folded name, adding the new ones. Call it inside an act.

    Two queries for any number of names.
    """
    wanted = {name.casefold(): name for name in names if name}
    nameless = Person.objects.filter(phone="").order_by("-pk") if wanted else ()
    known = {person.name.casefold(): person for person in nameless}
    added = Person.objects.bulk_create(Person(name=name) for folded, name in wanted.items() if folded not in known)
    known |= {person.name.casefold(): person for person in added}
    return {folded: known[folded] for folded in wanted}


def _figures(phone: str) -> str:
    return re.sub(r"[^\d+]", "", phone)


def hold_columns(shop: Shop, acquired_on: date) -> dict[str, Any]:
    """Return the columns of the hold that the workshop's place demands for that day."""
    rule = hold_until(shop.country, acquired_on)
    return {
        "hold_until_on": rule.until,
        "hold_blocks_work": rule.blocks_work,
        "hold_words": rule.words,
        "hold_source": f"{rule.source.title}; {rule.source.seen.value}" if rule.until else "",
    }


def refuse_future(act: Act, acquired_on: date) -> None:
    """Refuse a purchase dated after the act. :raises Refused: always then."""
    if acquired_on > act.day:
        raise Refused("This date is in the future. Type the day you bought it.", field="acquired_on")


def change_purchase(act: Act, shop: Shop, purchase: Purchase, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Change how a machine was bought; the hold is computed anew when its date changes.

    `values`: seller_name, seller_phone, because (why a hold gets shorter) and columns of Purchase; what is not among
    them stays. The journal says each field that changed, old and new; of the seller only that they changed.
    :raises Refused: a date in the future, another price for a share of a lot, a hold made shorter without a reason,
        or date, price or seller changed by another than the owner while a hold stands.
    :raises Stale: when somebody else changed it meanwhile.
    """
    with acts.once(act):
        columns = {k: v for k, v in values.items() if k not in ("seller_name", "seller_phone", "because")}
        acquired_on = columns.setdefault("acquired_on", purchase.acquired_on)
        refuse_future(act, acquired_on)
        if purchase.lot_id and columns.get("price_minor", purchase.price_minor) != purchase.price_minor:
            raise Refused("This is its share of a lot. Change the price of the lot.", field="price_minor")
        columns["seller"] = _seller_typed(purchase, values)
        _refuse_others(act, purchase, columns)
        if acquired_on != purchase.acquired_on or not purchase.hold_words:
            columns |= hold_columns(shop, acquired_on)
        because = purchase_change.because(act, purchase, columns, values.get("because", ""))
        before, after = acts.change(purchase, version, columns)
        found.refresh(purchase.job, FoundIn.SELLER)
        sentence = purchase_change.sentence(purchase, shop, before, after, because)
        told = {**after, **({"because": because} if because else {})}
        how: dict[str, Any] = {"job": purchase.job, "area": Area.MONEY, "before": before, "after": told}
        return acts.write(act, "change_purchase", sentence, purchase, **how)


def _seller_typed(purchase: Purchase, values: Mapping[str, Any]) -> Person | None:
    """Return the seller as typed. Without a name the seller stays; without a phone so does the one of that name."""
    seller = purchase.seller
    if "seller_name" not in values:
        return seller
    same = seller is not None and seller.name.casefold() == " ".join(values["seller_name"].split()).casefold()
    if "seller_phone" not in values and same:
        return seller
    return seller_known_as(values["seller_name"], values.get("seller_phone", ""))


def _refuse_others(act: Act, purchase: Purchase, columns: Mapping[str, Any]) -> None:
    """Refuse what may loosen a standing hold. :raises Refused: by another than the owner."""
    held = purchase_change.is_held(purchase, act.day)
    if not held or act.by.is_owner:
        return
    guarded = [name for name in ("acquired_on", "price_minor", "seller") if name in columns]
    if any(columns[name] != getattr(purchase, name) for name in guarded):
        raise Refused(purchase_change.OWNERS_WHILE_HELD)


def change_said(act: Act, purchase: Purchase, version: int, said: str) -> JournalEntry:
    """Note what the seller said. :raises Stale: when somebody else changed it meanwhile."""
    with acts.once(act):
        before, after = acts.change(purchase, version, {"said": said})
        found.refresh(purchase.job, FoundIn.SAID)
        if said:
            Nothing.objects.filter(job=purchase.job, what=NothingOf.SAID).delete()
        return acts.write(
            act,
            "change_said",
            "Noted what the seller said",
            purchase,
            job=purchase.job,
            before=before,
            after=after,
        )
