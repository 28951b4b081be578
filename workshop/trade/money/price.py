"""The asking price solved in closed form for every tax rule, and the sum behind any price.

profit = price - purchase - other costs - reserve - fixed fee - (selling fee + payment fee) x price - tax

Extras sold with it (workshop.trade.money.extras) bring their amount less their tax, cost and fees; those taxed as the
machine raise the price its own tax looks at.

The exact solution (source M-18) is a straight line on each side of the purchase price. What is charged is
rounded amount by amount, so the last step walks a few coins to the lowest price that truly reaches the wish.
Amounts are minor units, fees fractions of the price (Decimal("0.029")).
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import floor as floor_of

from workshop.trade.money.buying import Bid, Prospect, expected_minor, most_to_pay
from workshop.trade.money.extras import NOTHING, Extras
from workshop.trade.money.sources import SMALLEST_KEPT_SHARE
from workshop.trade.money.tax import UNTAXED, TaxRule, TaxShape, shape_of, tax_minor, whole
from workshop.trade.money.terms import NoPrice, SumLine, Terms

__all__ = [
    "Ask",
    "Bid",
    "Breakdown",
    "NoPrice",
    "Prospect",
    "SumLine",
    "Terms",
    "expected_minor",
    "floor",
    "most_to_pay",
    "nice_price",
    "price_for_margin",
    "price_for_profit",
    "profit_at",
]

# Selling fee, payment fee, tax on the sale and credit: each is rounded by half a coin at most.
MOST_ROUNDING = Fraction(4, 2)


@dataclass(frozen=True, slots=True)
class Breakdown:
    """A price followed down to the profit: the lines add up to it."""

    lines: tuple[SumLine, ...]
    profit_minor: int
    tax_minor: int


@dataclass(frozen=True, slots=True)
class Ask:
    """A price and its sum. `exact_minor` is the closed form before any coin is rounded, to four decimals."""

    price_minor: int
    exact_minor: Decimal
    breakdown: Breakdown

    @property
    def profit_minor(self) -> int:
        """What is left at this price."""
        return self.breakdown.profit_minor


def profit_at(
    price_minor: int,
    *,
    purchase_minor: int,
    other_costs_minor: int,
    reserve_minor: int,
    terms: Terms,
    extras: Extras = NOTHING,
) -> Breakdown:
    """Return the sum at a price, each fee and each tax rounded once. ValueError below zero, NoPrice without a rate.

    No tax line where no tax lies inside the price. Below the purchase price it is a sum like any other.
    """
    _not_below_zero(price_minor, purchase_minor, other_costs_minor, reserve_minor)
    paid = price_minor + extras.total_minor
    selling, payment = (whole(Fraction(fee) * paid) for fee in (terms.selling_fee, terms.payment_fee))
    tax = tax_minor(purchase_minor, price_minor + extras.with_machine_minor, terms.rule, terms.tax_rate_percent())
    lines = [
        SumLine("PRICE", "Asking price", price_minor),
        SumLine("EXTRAS", "Extras sold with it", extras.total_minor),
        SumLine("PURCHASE", "Paid for the machine", -purchase_minor),
        SumLine("COSTS", "Parts, work and other costs", -other_costs_minor),
        SumLine("EXTRAS_COST", "What the extras cost", -extras.cost_minor),
        SumLine("RESERVE", "Kept back for the warranty", -reserve_minor),
        SumLine("SELLING_FEE", f"Selling fee, {_percent(terms.selling_fee)} of the price", -selling),
        SumLine("PAYMENT_FEE", f"Payment fee, {_percent(terms.payment_fee)} of the price", -payment),
        SumLine("FIXED_FEE", "Fixed fees", -terms.fixed_fee_minor),
    ]
    lines = [line for line in lines if line.amount_minor or line.code in ("PRICE", "PURCHASE", "COSTS")]
    if terms.rule not in UNTAXED:
        lines.append(SumLine("TAX", _TAX_WORDS.get(terms.rule, "Tax on the margin"), -tax))
    if extras.tax_minor:
        lines.append(SumLine("EXTRAS_TAX", "Tax in the extras", -extras.tax_minor))
    return Breakdown(tuple(lines), sum(line.amount_minor for line in lines), tax + extras.tax_minor)


_TAX_WORDS = {
    TaxRule.FULL_VAT: "VAT on the full price",
    TaxRule.AU_GST: "GST on the sale less the credit for the purchase",
    TaxRule.NZ_GST: "GST on the sale less the credit for the purchase",
}


def price_for_profit(
    *,
    purchase_minor: int,
    other_costs_minor: int,
    reserve_minor: int,
    profit_minor: int,
    terms: Terms,
    extras: Extras = NOTHING,
) -> Ask:
    """Return the lowest price that leaves the profit wanted; NoPrice where fees and tax leave nothing.

    P = (G + K + W + F + B(1 - v)) / (1 - f - p - v) above the purchase price, (G + K + W + F + B) / (1 - f - p)
    below it, where the margin schemes ask no tax. Under FULL_VAT the purchase is net of tax taken back.
    """
    return _lowest(purchase_minor, other_costs_minor, reserve_minor, profit_minor, Decimal(0), terms, extras)


def price_for_margin(
    *, purchase_minor: int, other_costs_minor: int, reserve_minor: int, profit_share: Decimal, terms: Terms
) -> Ask:
    """Return the lowest price of which the profit is at least this share; NoPrice where none can."""
    return _lowest(purchase_minor, other_costs_minor, reserve_minor, 0, profit_share, terms)


def floor(
    *, purchase_minor: int, other_costs_minor: int, reserve_minor: int, terms: Terms, extras: Extras = NOTHING
) -> Ask:
    """Return the lowest price of the machine at which nothing is lost, with the extras sold beside it."""
    return _lowest(purchase_minor, other_costs_minor, reserve_minor, 0, Decimal(0), terms, extras)


def nice_price(minor: int, step: int) -> int:
    """Return the amount raised to the next round step (500 for whole fives in pence); ValueError for no step."""
    if step <= 0:
        raise ValueError("A round price needs a step above zero.")
    return -(-minor // step) * step


def _lowest(
    purchase: int, other: int, reserve: int, wanted: int, share: Decimal, terms: Terms, extras: Extras = NOTHING
) -> Ask:
    _not_below_zero(purchase, other, reserve)
    shape = shape_of(terms.rule, purchase, terms.tax_rate_percent())
    kept = 1 - terms.fees - Fraction(share) - shape.fraction
    if kept < Fraction(SMALLEST_KEPT_SHARE.value):
        raise NoPrice(_runs_away(terms, shape, share))
    # The straight lines hold for what the machine's own tax looks at; extras with their own tax shift the outgoings.
    brought = extras.apart_minor * (1 - terms.fees) - extras.tax_minor - extras.cost_minor
    outgoings = purchase + other + reserve + terms.fixed_fee_minor + wanted - brought
    exact = _solve(Fraction(outgoings), kept, shape) - extras.with_machine_minor
    # Below this price even the kindest rounding falls short, so the walk starts at the first that might do.
    price = max(0, floor_of(exact - MOST_ROUNDING / kept))
    while True:
        sum_at = profit_at(
            price, purchase_minor=purchase, other_costs_minor=other, reserve_minor=reserve, terms=terms, extras=extras
        )
        if sum_at.profit_minor >= wanted + Fraction(share) * price:
            return Ask(price, _to_four_places(exact), sum_at)
        price += 1


def _solve(outgoings: Fraction, kept: Fraction, shape: TaxShape) -> Fraction:
    """Return the exact price: the loss branch where it stays at or below the purchase price, else the other."""
    if shape.capped:
        untaxed = outgoings / (kept + shape.fraction)
        if untaxed <= shape.deducted_minor:
            return untaxed
    return (outgoings - shape.fraction * shape.deducted_minor) / kept


def _to_four_places(exact: Fraction) -> Decimal:
    return Decimal(whole(exact * 10_000)).scaleb(-4)


def _runs_away(terms: Terms, shape: TaxShape, share: Decimal) -> str:
    parts = [f"the fees take {_percent(Decimal(terms.selling_fee + terms.payment_fee))}"]
    if shape.fraction:
        parts.append(f"the tax {_percent(Decimal(shape.fraction.numerator) / shape.fraction.denominator)}")
    if share:
        parts.append(f"the profit wanted {_percent(share)}")
    return f"No price can do this: of every further amount {', '.join(parts)}, which leaves next to nothing."


def _percent(share: Decimal) -> str:
    text = f"{round(share * 100, 2):f}"
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} %"


def _not_below_zero(*amounts_minor: int) -> None:
    if any(amount < 0 for amount in amounts_minor):
        raise ValueError("A price or a cost cannot be below zero.")
