"""What a machine has cost: the sum line by line, and the two columns that must never be mixed.

The tax purchase price is what the seller was paid and nothing else (source M-04). The stock cost is purchase
plus bringing the machine to its place and condition (IAS 2, source M-19). Amounts are minor units.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from workshop.trade.money.tax import whole

MINUTES_IN_AN_HOUR = 60


@dataclass(frozen=True, slots=True)
class CostLine:
    """One line of the sum: `in_price` where the asking price has to carry it, `in_stock` where IAS 2 counts it."""

    code: str
    words: str
    amount_minor: int
    in_price: bool
    in_stock: bool


@dataclass(frozen=True, slots=True)
class Cost:
    """The sum. `total_minor` is what the asking price has to carry, `stock_cost_minor` what IAS 2 counts."""

    lines: tuple[CostLine, ...]
    total_minor: int
    stock_cost_minor: int
    tax_purchase_minor: int  # for the tax margin: the price paid alone

    @property
    def other_costs_minor(self) -> int:
        """Carried by the price beside purchase and reserve: what `price.price_for_profit` calls other costs."""
        return sum(line.amount_minor for line in self.lines if line.in_price and line.code not in _OWN_ARGUMENT)

    @property
    def reserve_minor(self) -> int:
        """The warranty reserve in the sum."""
        return sum(line.amount_minor for line in self.lines if line.code == "RESERVE")


_OWN_ARGUMENT = frozenset({"PURCHASE", "RESERVE"})


def labour_minor(minutes: Decimal | int, rate_minor_per_hour: int) -> int:
    """Return the cost of bench time, rounded once; ValueError below zero. Source M-20."""
    return _by_the_hour(minutes, rate_minor_per_hour)


def overhead_minor(minutes: Decimal | int, overhead_minor_per_hour: int) -> int:
    """Return the overhead that bench time carries, rounded once; ValueError below zero. Source M-20."""
    return _by_the_hour(minutes, overhead_minor_per_hour)


def overhead_rate_minor(overheads_minor: int, bench_hours: Decimal | int) -> int:
    """Return overhead per bench hour: estimated overheads / estimated hours of the same time. Source M-20.

    Raises ValueError when there are no hours to spread it over.
    """
    if bench_hours <= 0:
        raise ValueError("Overheads need bench hours to be spread over; write the hours of the same time.")
    return whole(overheads_minor / Fraction(bench_hours))


def roll_up(
    purchase_minor: int,
    parts_minor: int,
    minutes: Decimal | int,
    hourly_rate_minor: int,
    overhead_per_hour_minor: int,
    extra_minor: int,
    reserve_minor: int,
    wasted_minor: int = 0,
) -> Cost:
    """Return the cost of one machine.

    The warranty reserve is a cost of selling: the price carries it, the stock cost does not. What was wasted
    (a part broken at the bench) is neither stock (IAS 2.16) nor for the buyer to pay. ValueError below zero.
    """
    labour, overhead = labour_minor(minutes, hourly_rate_minor), overhead_minor(minutes, overhead_per_hour_minor)
    amounts = (purchase_minor, parts_minor, labour, overhead, extra_minor, reserve_minor, wasted_minor)
    if min(amounts) < 0:
        raise ValueError("A cost cannot be below zero.")
    lines = tuple(
        CostLine(code, words, amount, in_price, in_stock)
        for (code, words, in_price, in_stock), amount in zip(_LINES, amounts, strict=True)
    )
    total = sum(line.amount_minor for line in lines if line.in_price)
    stock = sum(line.amount_minor for line in lines if line.in_stock)
    return Cost(lines, total, stock, purchase_minor)


# Code, words, carried by the price, counted in stock.
_LINES = (
    ("PURCHASE", "Paid for the machine", True, True),
    ("PARTS", "Parts fitted", True, True),
    ("LABOUR", "Bench time", True, True),
    ("OVERHEAD", "Share of rent, power and the like", True, True),
    ("EXTRA", "Other costs of this machine", True, True),
    ("RESERVE", "Kept back for the warranty", True, False),
    ("WASTED", "Wasted, borne by the workshop", False, False),
)


def margin_share(cost_minor: int, price_minor: int) -> Decimal:
    """Return (price - cost) / price as a fraction; ValueError at a price of nothing."""
    return _share(price_minor - cost_minor, price_minor)


def markup_share(cost_minor: int, price_minor: int) -> Decimal:
    """Return (price - cost) / cost as a fraction; ValueError at a cost of nothing."""
    return _share(price_minor - cost_minor, cost_minor)


def _by_the_hour(minutes: Decimal | int, per_hour_minor: int) -> int:
    if minutes < 0 or per_hour_minor < 0:
        raise ValueError("Minutes and hourly rates cannot be below zero.")
    return whole(Fraction(minutes) * per_hour_minor / MINUTES_IN_AN_HOUR)


def _share(part_minor: int, whole_minor: int) -> Decimal:
    if whole_minor <= 0:
        raise ValueError("A share needs an amount above zero to be a share of.")
    return Decimal(part_minor) / Decimal(whole_minor)
