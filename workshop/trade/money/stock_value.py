"""What stock is worth in the books, and what it costs to keep. Amounts are minor units.

Lower of cost and what it would fetch (net realisable value), machine by machine (IAS 2.9 and 2.28, source
M-19). A sole trader on the cash basis may not need it: ask whoever does the accounts.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from workshop.trade.money.tax import whole

DAYS_IN_A_YEAR = 365  # source M-26


@dataclass(frozen=True, slots=True)
class StockItem:
    """One machine in stock: its cost so far, its likely price, what is still to be spent on it and on selling."""

    cost_minor: int
    selling_price_minor: int
    to_complete_minor: int = 0
    to_sell_minor: int = 0

    def __post_init__(self) -> None:
        if min(self.cost_minor, self.selling_price_minor, self.to_complete_minor, self.to_sell_minor) < 0:
            raise ValueError("A cost or a price cannot be below zero.")

    @property
    def would_fetch_minor(self) -> int:
        """Net realisable value: price less costs to complete and to sell; it may lie below zero."""
        return self.selling_price_minor - self.to_complete_minor - self.to_sell_minor

    @property
    def value_minor(self) -> int:
        """The lower of cost and what it would fetch, never below zero: stock is no debt.

        Recomputed each time, so a price that recovers lifts the value again, up to cost (IAS 2.33).
        """
        return max(0, min(self.cost_minor, self.would_fetch_minor))

    @property
    def write_down_minor(self) -> int:
        """How far the value lies below cost."""
        return self.cost_minor - self.value_minor


def stock_value_minor(items: Iterable[StockItem]) -> int:
    """Return the value of the stock, item by item: one machine's gain never covers another's loss."""
    return sum(item.value_minor for item in items)


def holding_minor(stock_cost_minor: int, days: int, annual_rate: Decimal, space_minor_per_day: int) -> int:
    """Return what it costs to keep a machine: a yearly rate on its cost, plus space. ValueError below zero."""
    if stock_cost_minor < 0 or days < 0 or annual_rate < 0 or space_minor_per_day < 0:
        raise ValueError("Costs, days and rates cannot be below zero.")
    return whole(days * (Fraction(annual_rate) * stock_cost_minor / DAYS_IN_A_YEAR + space_minor_per_day))


def days_held(bought_on: date, on: date) -> int:
    """Return the age in stock in days; ValueError before it was bought."""
    if on < bought_on:
        raise ValueError("That day lies before the purchase.")
    return (on - bought_on).days
