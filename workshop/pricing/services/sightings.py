"""Writers of sightings: kept, worked out anew, dropped with a reason, or bought.

Who sells it never enters the journal, and is forgotten here once the machine is bought, or 30 days after a drop.
"""

from collections.abc import Mapping
from dataclasses import fields
from datetime import timedelta
from typing import Any

from intake.services import NewMachine, rows_of_machine
from workshop.core import acts
from workshop.core.acts import Act, Odd, Refused, Stale
from workshop.core.models import JournalEntry, Shop
from workshop.core.templatetags.measures import money
from workshop.core.words import Area
from workshop.pricing.models import Sighting
from workshop.pricing.most_to_pay import Guess, work_out

KEPT_DAYS = 30  # so long a dropped machine may be taken up again with its seller. House policy.
_PERSON = ("seller_name", "seller_phone")
_FORGOTTEN = dict.fromkeys(_PERSON, "")
_GUESSED = tuple(field.name for field in fields(Guess))


def keep_sighting(act: Act, shop: Shop, values: Mapping[str, Any]) -> JournalEntry:
    """Keep a machine looked at, with the answer worked out inside the act. `values`: columns of Sighting.

    :raises Refused: when it is not the owner's act
    """
    with acts.once(act):
        _owner(act)
        _forget_sellers(act)
        answer = _answer(act, shop, values)
        row = Sighting.objects.create(**values, **answer, by=act.by, at=act.at)
        after = {"bid_minor": row.bid_minor, "asked_minor": row.asked_minor}
        return acts.write(act, "keep_sighting", _said(row, shop), row, area=Area.MONEY, after=after)


def change_sighting(act: Act, shop: Shop, sighting: Sighting, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Change what was typed and work it out anew, by today's rates and fees.

    :raises Refused: once it is bought or dropped, or by another than the owner. :raises Stale: when changed meanwhile.
    """
    with acts.once(act):
        _owner(act)
        _forget_sellers(act)
        _open(sighting)
        before, after = acts.change(sighting, version, {**values, **_answer(act, shop, values)})
        shown = [{k: v for k, v in side.items() if k not in (*_PERSON, "breakdown")} for side in (before, after)]
        sentence = _said(sighting, shop)
        return acts.write(act, "change_sighting", sentence, sighting, area=Area.MONEY, before=shown[0], after=shown[1])


def drop_sighting(act: Act, sighting: Sighting, version: int, because: str) -> JournalEntry:
    """Say why a machine is not bought; who sells it is kept 30 days, for it may be taken up again.

    :raises Refused: once it is bought or dropped, or by another than the owner. :raises Stale: when changed meanwhile.
    """
    with acts.once(act):
        _owner(act)
        _forget_sellers(act)
        _open(sighting)
        dropped = {"dropped_at": act.at, "dropped_by": act.by, "dropped_because": because}
        acts.change(sighting, version, dropped)
        sentence = f"Not bought: {sighting}, {because}"
        return acts.write(act, "drop_sighting", sentence, sighting, area=Area.MONEY, after={"because": because})


def take_up_sighting(act: Act, sighting: Sighting) -> JournalEntry:
    """Take up a dropped sighting again; after 30 days who sells it has to be typed anew.

    :raises Refused: when it is not dropped, or by another than the owner
    """
    with acts.once(act):
        _owner(act)
        _forget_sellers(act)
        if sighting.dropped_at is None:
            raise Refused("It was taken up again already.")
        acts.change(sighting, sighting.version, {"dropped_at": None, "dropped_by": None, "dropped_because": ""})
        return acts.write(act, "take_up_sighting", f"Taken up again: {sighting}", sighting, area=Area.MONEY)


def buy_sighting(
    act: Act, shop: Shop, sighting: Sighting, version: int, *, price_minor: int, place: str, sure: str = ""
) -> JournalEntry:
    """Make a sighting a purchase of this day: the machine is logged with what is known. One press, one machine.

    :raises Refused: once it is bought or dropped, or by another than the owner. :raises Stale: when changed meanwhile.
    :raises Odd: above the most to pay, or when another machine stands in that spot for one, until a second press
    """
    with acts.once(act):
        _owner(act)
        _forget_sellers(act)
        _open(sighting)
        _lock(sighting, version)
        agreed = _dear(sighting, price_minor)
        if agreed and not sure.startswith(agreed):
            raise Odd(_dear_words(sighting, shop, price_minor), about=agreed, field="price_minor")
        with acts.beside(agreed):
            job = rows_of_machine(act, shop, _new_machine(sighting, price_minor, place, sure.removeprefix(agreed)))
        acts.change(sighting, version, {"job": job, **_FORGOTTEN})
        after = {"machine": job.machine.name, "stock_number": job.machine.stock_number, "price_minor": price_minor}
        sentence = f"Bought {job.machine}: {sighting}"
        return acts.write(act, "buy_sighting", sentence, sighting, job=job, area=Area.MONEY, after=after)


def _dear(sighting: Sighting, price_minor: int) -> str:
    """Return what a yes to a price above the most to pay is known by; nothing where it is not above."""
    return f"price {price_minor}; " if price_minor > (sighting.bid_minor or 0) else ""


def _dear_words(sighting: Sighting, shop: Shop, price_minor: int) -> str:
    price, most = money(price_minor, shop), money(sighting.bid_minor, shop)
    over = f"is more than the most to pay, {most}" if most else "is too much: it was not worth it even as a gift"
    return f"{price} {over}. Buy it all the same? Press again."


def _lock(sighting: Sighting, version: int) -> None:
    """Hold the row before a machine is written for it. :raises Stale: when it is not the version seen."""
    held = Sighting.objects.select_for_update().get(pk=sighting.pk)
    if held.version != version:
        raise Stale({}, held.version)


def _new_machine(sighting: Sighting, price_minor: int, place: str, sure: str) -> NewMachine:
    return NewMachine(
        notes=sighting.notes,
        maker=sighting.maker,
        model=sighting.model,
        kind=sighting.kind,
        price_minor=price_minor,
        seller_name=sighting.seller_name,
        seller_phone=sighting.seller_phone,
        place=place,
        said=sighting.said,
        sure=sure,
    )


def _owner(act: Act) -> None:
    if not act.by.is_owner:
        raise Refused("Only the owner of the workshop may do this.")


def _forget_sellers(act: Act) -> None:
    """Forget who sells what was dropped more than 30 days ago."""
    old = Sighting.objects.filter(dropped_at__lt=act.at - timedelta(days=KEPT_DAYS))
    old.exclude(**_FORGOTTEN).update(**_FORGOTTEN)


def _open(sighting: Sighting) -> None:
    if sighting.job_id:
        raise Refused("It is bought already. Its machine is in the workshop.")
    if sighting.dropped_at:
        raise Refused("It was dropped. Take it up again first.")


def _answer(act: Act, shop: Shop, values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the columns of the answer."""
    answer = work_out(Guess(**{name: values[name] for name in _GUESSED}), shop, act.day)
    return {
        "tax_rule": answer.rule.value,
        "bid_minor": answer.bid_minor,
        "no_price": answer.no_price[:200],
        "breakdown": answer.breakdown,
        "worked_out_at": act.at,
    }


def _said(sighting: Sighting, shop: Shop) -> str:
    if sighting.bid_minor is None:
        return f"Looked at {sighting}: not even as a gift"
    return f"Looked at {sighting}: at most {money(sighting.bid_minor, shop)}"
