"""The extras of sales, for many jobs at once, and as rows of a page."""

from collections.abc import Collection
from dataclasses import dataclass

from workshop.core.models import Shop
from workshop.core.templatetags.measures import money, number
from workshop.pricing.models import Sale, SaleLine
from workshop.trade.money.extras import ExtraTax
from workshop.trade.money.tax import UNTAXED, TaxRule


@dataclass(frozen=True, slots=True)
class LineRow:
    """One extra as it is listed; `tax` is empty while no tax lies inside prices here."""

    pk: int
    words: str
    amount: str
    tax: str


def standing(sales: Collection[Sale]) -> dict[int, list[SaleLine]]:
    """Return the extras of each sale, as they came, by the sale's id. One query."""
    found: dict[int, list[SaleLine]] = {sale.pk: [] for sale in sales}
    for row in SaleLine.objects.filter(sale__in=found, struck_at__isnull=True).order_by("pk"):
        found[row.sale_id].append(row)
    return found


def of_jobs(sold: dict[int, Sale]) -> dict[int, list[SaleLine]]:
    """Return the extras of each job's standing sale, by the job's id. One query."""
    by_sale = standing(sold.values())
    return {job_id: by_sale[sale.pk] for job_id, sale in sold.items()}


def asks_tax(shop: Shop) -> bool:
    """Say whether an extra's tax is asked and shown: not before a scheme that taxes prices is chosen."""
    return TaxRule(shop.tax_rule) not in UNTAXED


def rows(lines: Collection[SaleLine], shop: Shop) -> list[LineRow]:
    """Return the extras in words."""
    taxed = asks_tax(shop)
    return [LineRow(row.pk, row.words, money(row.amount_minor, shop), _tax(row) if taxed else "") for row in lines]


def _tax(row: SaleLine) -> str:
    if row.rate_percent is not None:
        return f"at {number(row.rate_percent)} %"
    return {ExtraTax.MACHINE: "as the machine", ExtraTax.STANDARD: "standard rate"}.get(ExtraTax(row.tax), "no tax")
