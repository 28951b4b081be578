"""Writers of a lot: several machines bought for one price, each logged with its own name and share."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.db.models import F

from intake.models import Lot, Purchase
from intake.services.log import NewMachine, rows_of_machine
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry, Shop
from workshop.core.words import Area
from workshop.trade.money.lots import LotRule, shares_minor


@dataclass(frozen=True, slots=True)
class NewLot:
    """A price paid for several machines. `weights_minor`: what each should fetch; not read for equal parts."""

    price_minor: int
    rule: LotRule
    machines: tuple[NewMachine, ...]  # their own price is not read: it is their share
    weights_minor: tuple[int | None, ...]


def log_lot(act: Act, shop: Shop, new: NewLot) -> JournalEntry:
    """Open the first job of every machine of a lot, in one act; the shares sum to the price exactly.

    :raises Refused: fewer than two machines, no weight above nothing, or what `log_machine` refuses
    """
    with acts.once(act):
        if not act.by.is_owner:
            raise Refused("Only the owner of the workshop may log a lot: it shows what was paid.")
        if len(new.machines) < 2:
            raise Refused("A lot is two machines or more. Log a single one on its own page.")
        shares = _shares(new.price_minor, new.rule, new.weights_minor)
        lot = Lot.objects.create(price_minor=new.price_minor, rule=new.rule, by=act.by, at=act.at)
        names = []
        for machine, share, weight in zip(new.machines, shares, new.weights_minor, strict=True):
            job = rows_of_machine(act, shop, replace(machine, price_minor=share))
            Purchase.objects.filter(job=job).update(lot=lot, lot_weight_minor=weight)
            names.append(job.machine.name)
        after = {"price_minor": new.price_minor, "rule": new.rule.value, "machines": names, "shares_minor": shares}
        sentence = f"Logged {len(names)} machines bought together: {', '.join(names)}"
        return acts.write(act, "log_lot", sentence, lot, area=Area.MONEY, after=after)


def _shares(price_minor: int, rule: LotRule, weights_minor: Sequence[int | None]) -> list[int]:
    equal = rule is LotRule.EQUAL
    if not equal and None in weights_minor:
        raise Refused("Type what each machine should fetch, or share the price in equal parts.")
    try:
        return shares_minor(price_minor, [1 if equal else weight or 0 for weight in weights_minor])
    except ValueError:
        raise Refused("What the machines should fetch is nothing in all. Type it, or choose equal parts.") from None


def change_lot(act: Act, lot: Lot, version: int, price_minor: int) -> JournalEntry:
    """Correct the price of a lot: every share is worked out anew by the same rule.

    :raises Refused: not by the owner. :raises Stale: when somebody else changed it meanwhile.
    """
    with acts.once(act):
        if not act.by.is_owner:
            raise Refused("Only the owner of the workshop may change what was paid.")
        before, after = acts.change(lot, version, {"price_minor": price_minor})
        rows = list(Purchase.objects.filter(lot=lot).order_by("pk"))
        shares = _shares(price_minor, LotRule(lot.rule), [row.lot_weight_minor for row in rows])
        for row, share in zip(rows, shares, strict=True):
            Purchase.objects.filter(pk=row.pk).update(price_minor=share, version=F("version") + 1)
        after = {**after, "shares_minor": shares}
        sentence = f"Changed the price of a lot of {len(rows)} machines"
        return acts.write(act, "change_lot", sentence, lot, area=Area.MONEY, before=before, after=after)
