"""Prepared lines of money: costs in words, the sum from price down to profit."""

from dataclasses import dataclass

from workshop.core.models import Shop
from workshop.core.templatetags.measures import NBSP, money, short_day
from workshop.pricing.costs import JobCost, Returns
from workshop.trade.money.price import Breakdown

_OUR_WORDS = {"RESERVE": "Set aside for returns"}


@dataclass(frozen=True, slots=True)
class SumRow:
    """One line of a sum; `heavy` draws the total."""

    code: str
    words: str
    amount: str
    heavy: bool = False


@dataclass(frozen=True, slots=True)
class ExtraRow:
    """One extra cost, with the id that strikes it."""

    pk: int
    words: str
    amount: str
    told: str


def cost_rows(job_cost: JobCost, shop: Shop, *, with_extras: bool = True) -> list[SumRow]:
    """Return the cost of a machine line by line, down to the cost so far. A line of nothing is left out."""
    rows = [
        SumRow(line.code, _cost_words(line.code, job_cost, shop), money(line.amount_minor, shop))
        for line in job_cost.cost.lines
        if line.in_price and line.code != "EXTRA" and (line.amount_minor or line.code == "PURCHASE")
    ]
    if job_cost.purchase is None:
        rows = [row for row in rows if row.code != "PURCHASE"]
    if with_extras:
        extras = [SumRow("EXTRA", row.words, money(row.amount_minor, shop)) for row in job_cost.extras]
        before = [row for row in rows if row.code != "RESERVE"]
        rows = [*before, *extras, *(row for row in rows if row.code == "RESERVE")]
    return [*rows, SumRow("TOTAL", "Cost so far", money(job_cost.cost.total_minor, shop), heavy=True)]


def _cost_words(code: str, job_cost: JobCost, shop: Shop) -> str:
    if code == "PURCHASE":
        return _paid_words(job_cost, shop)
    if code == "PARTS":
        return f"Parts: {', '.join(job_cost.part_names)}" if job_cost.part_names else "Parts"
    if code == "LABOUR":
        return f"Work, {duration(job_cost.minutes)} at {money(shop.hourly_rate_minor, shop)} an hour"
    if code == "OVERHEAD":
        return f"Overhead, {money(shop.overhead_minor_per_h, shop)} for each bench hour"
    return f"Set aside for returns: {returns_words(job_cost.returns)}"


def _paid_words(job_cost: JobCost, shop: Shop) -> str:
    purchase, unpaid = job_cost.purchase, job_cost.unpaid_minor
    if purchase is None:
        return "Paid"
    whom = f"{purchase.seller or 'a private seller'}, {short_day(purchase.acquired_on)}"
    if not unpaid:
        return f"Paid to {whom}"
    return f"Bought from {whom}, {'' if unpaid == purchase.price_minor else f'{money(unpaid, shop)} '}not paid yet"


def returns_words(seen: Returns) -> str:
    """Say the own experience that the reserve rests on."""
    return f"{seen.claims} of {seen.sold} came back" if seen.sold else "none sold yet"


def duration(minutes: int) -> str:
    """Say minutes as people do: 45 min, 3 h, 3 h 50 min."""
    hours, rest = divmod(minutes, 60)
    parts = [f"{hours}{NBSP}h"] if hours else []
    return " ".join([*parts, f"{rest}{NBSP}min"] if rest or not hours else parts)


def extra_rows(job_cost: JobCost, shop: Shop) -> list[ExtraRow]:
    """Return the extra costs that stand, as they came."""
    return [
        ExtraRow(row.pk, row.words, money(row.amount_minor, shop), f"{row.by}, {short_day(row.at)}")
        for row in job_cost.extras
    ]


def sum_rows(breakdown: Breakdown, shop: Shop) -> list[SumRow]:
    """Return a price followed down to what is left: the lines add up to it."""
    lines = [
        SumRow(line.code, _OUR_WORDS.get(line.code, line.words), money(line.amount_minor, shop))
        for line in breakdown.lines
    ]
    left = "Left over" if breakdown.profit_minor >= 0 else "Lost"
    return [*lines, SumRow("PROFIT", left, money(breakdown.profit_minor, shop), heavy=True)]
