"""Most to pay: the most one may give for a machine, counting the chance that it will not come right.

expected = s (P - fees - costs - tax) + (1 - s)(salvage - failed costs - tax) - purchase

For each tax rule it is a falling line in the purchase price, broken where salvage or price meet it, so the
answer is exact and rounded down to a whole minor unit (source M-18). Expectations are not legal amounts:
nothing inside is rounded.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import floor as floor_of

from workshop.trade.money.rules import ITEM_BY_ITEM, TaxRule
from workshop.trade.money.tax import AU_CREDIT_BOUNDARY_MINOR, shape_of, whole
from workshop.trade.money.terms import NoPrice, SumLine, Terms


@dataclass(frozen=True, slots=True)
class Prospect:
    """What may become of a machine. Amounts in minor units.

    `costs_minor` carries parts, work and reserve when it comes right; `salvage_minor` is what it fetches when
    it does not, after its own fees, and `failed_costs_minor` what was spent by then. `success` is a fraction.
    """

    price_minor: int
    costs_minor: int
    success: Decimal = Decimal(1)
    salvage_minor: int = 0
    failed_costs_minor: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.success <= 1:
            raise ValueError("The chance of success lies between 0 and 1.")
        if min(self.price_minor, self.costs_minor, self.salvage_minor, self.failed_costs_minor) < 0:
            raise ValueError("A price or a cost cannot be below zero.")


@dataclass(frozen=True, slots=True)
class Bid:
    """The most to pay, and the expected sum that ends in it."""

    bid_minor: int
    lines: tuple[SumLine, ...]


def most_to_pay(prospect: Prospect, *, profit_minor: int, terms: Terms) -> Bid:
    """Return the most one may pay and still expect the profit wanted; NoPrice when not even a gift would do.

    Item by item a loss brings no tax back; in global accounting it is set against other sales.
    """
    bid = _most(prospect, profit_minor, terms)
    if bid < 0:
        raise NoPrice("Not even as a gift: what it would fetch does not cover the work, the fees and the profit.")
    return Bid(bid, _lines(prospect, bid, profit_minor, terms))


def expected_minor(prospect: Prospect, purchase_minor: int, terms: Terms) -> Fraction:
    """Return the expected profit at a purchase price, exact."""
    shape = shape_of(terms.rule, purchase_minor, terms.tax_rate_percent())
    good, bad = _branches(prospect, terms)
    s = Fraction(prospect.success)
    taxed = s * shape.tax(Fraction(prospect.price_minor)) + (1 - s) * shape.tax(Fraction(prospect.salvage_minor))
    return s * good + (1 - s) * bad - taxed - purchase_minor


def _most(prospect: Prospect, profit: int, terms: Terms) -> int:
    if terms.rule is not TaxRule.AU_GST:
        return floor_of(_root(prospect, profit, terms, capped=terms.rule in ITEM_BY_ITEM))
    # Up to 300 dollars the credit is not capped, above it is: the line may drop at the boundary.
    boundary = int(AU_CREDIT_BOUNDARY_MINOR.value)
    above = floor_of(_root(prospect, profit, terms, capped=True))
    return above if above > boundary else min(boundary, floor_of(_root(prospect, profit, terms, capped=False)))


def _root(prospect: Prospect, profit: int, terms: Terms, *, capped: bool) -> Fraction:
    """Return the purchase price at which the expectation meets the profit.

    Where a loss brings nothing back, an outcome is taxed only while it fetches more than the purchase. The
    expectation falls throughout, so from the top down the first piece that holds its own root is the answer.
    """
    v = shape_of(terms.rule, 0, terms.tax_rate_percent()).fraction
    good, bad = _branches(prospect, terms)
    s = Fraction(prospect.success)
    untaxed = s * good + (1 - s) * bad - profit
    outcomes = sorted(((Fraction(prospect.price_minor), s), (Fraction(prospect.salvage_minor), 1 - s)), reverse=True)
    if terms.rule is TaxRule.FULL_VAT:
        return untaxed - v * sum(chance * fetched for fetched, chance in outcomes)
    for taxed, (fetched, _) in enumerate(outcomes if capped else ()):
        root = _taxed(untaxed, v, outcomes[:taxed])
        if root >= fetched:
            return root
    return _taxed(untaxed, v, outcomes)


def _taxed(untaxed: Fraction, v: Fraction, taxed: list[tuple[Fraction, Fraction]]) -> Fraction:
    due = v * sum((chance * fetched for fetched, chance in taxed), Fraction(0))
    return (untaxed - due) / (1 - v * sum((chance for _, chance in taxed), Fraction(0)))


def _branches(prospect: Prospect, terms: Terms) -> tuple[Fraction, Fraction]:
    """Return what each outcome leaves before tax and purchase."""
    good = prospect.price_minor * (1 - terms.fees) - prospect.costs_minor - terms.fixed_fee_minor
    return good, Fraction(prospect.salvage_minor - prospect.failed_costs_minor)


def _lines(prospect: Prospect, bid: int, profit: int, terms: Terms) -> tuple[SumLine, ...]:
    good, bad = _branches(prospect, terms)
    s = Fraction(prospect.success)
    tax = s * good + (1 - s) * bad - bid - expected_minor(prospect, bid, terms)
    in_a_hundred = f"{round(prospect.success * 100, 2).normalize():f}"
    lines = [
        SumLine("SUCCESS", f"Mended and sold, {in_a_hundred} times in 100: price less fees and costs", whole(s * good)),
        SumLine("FAILURE", "Not mended the other times: what it fetches less what was spent", whole((1 - s) * bad)),
        SumLine("TAX", "Tax, as it falls on the two", -whole(tax)),
        SumLine("PROFIT", "Profit wanted", -profit),
    ]
    lines = [line for line in lines if line.amount_minor or line.code == "SUCCESS"]
    lines.append(SumLine("ROUNDING", "Rounded down", bid - sum(line.amount_minor for line in lines)))
    return tuple(line for line in lines if line.amount_minor or line.code != "ROUNDING")
