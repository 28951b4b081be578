"""What the page of a lot prints."""

from dataclasses import dataclass

from intake.models import Lot, Purchase
from workshop.core.models import Shop
from workshop.core.templatetags.measures import day, money
from workshop.trade.money.lots import LotRule


@dataclass(frozen=True, slots=True)
class LotRow:
    """One machine of a lot."""

    name: str
    slug: str
    model: str
    should_fetch: str
    share: str


@dataclass(frozen=True, slots=True)
class LotPage:
    """A lot: its rule in words, when and from whom, and its machines with their shares."""

    rule: str
    bought: str
    rows: list[LotRow]
    total: str


def rule_words(rule: str) -> str:
    """Return the rule of a lot in a sentence. Source M-40."""
    how = {
        LotRule.EQUAL: "Shared out in equal parts",
        LotRule.BY_EXPECTED: "Shared out by what each machine should fetch",
    }[LotRule(rule)]
    return f"{how}, to the penny by largest remainder: the shares add up to what was paid."


def lot_page(lot: Lot, shop: Shop) -> LotPage:
    """Return the page of a lot: one query."""
    rows = Purchase.objects.filter(lot=lot).select_related("job__machine__notes", "seller").order_by("pk")
    bought = list(rows)
    first = bought[0] if bought else None
    return LotPage(
        rule=rule_words(lot.rule),
        bought=f"{first.seller or 'No seller noted'}, {day(first.acquired_on)}" if first else "",
        rows=[_row(row, shop) for row in bought],
        total=money(sum(row.price_minor for row in bought), shop),
    )


def _row(row: Purchase, shop: Shop) -> LotRow:
    machine = row.job.machine
    fetch = money(row.lot_weight_minor, shop)
    return LotRow(machine.name, machine.slug, str(machine.notes), fetch, money(row.price_minor, shop))
