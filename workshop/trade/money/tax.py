"""Tax on second-hand goods: one small shape for every rule, and the tax on one machine.

The tax margin is the selling price less the price paid to the seller and nothing else: parts, work and postage
never enter it (source M-04). Every amount is whole minor units of the rule's own currency. Not tax advice.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from workshop.trade.money.rates import RATES, NoRate, Rate, rate_on
from workshop.trade.money.rounding import round_half_up
from workshop.trade.money.rules import ITEM_BY_ITEM, ON_THE_MARGIN, UNTAXED, TaxRule
from workshop.trade.money.sources import AU_DIV_66, UK_GLOBAL_LIMIT
from workshop.trade.money.wording import Wording, invoice_wording
from workshop.trade.sources import Figure

__all__ = [
    "AU_CREDIT_BOUNDARY_MINOR",
    "ITEM_BY_ITEM",
    "ON_THE_MARGIN",
    "RATES",
    "UK_GLOBAL_LIMIT_MINOR",
    "UNTAXED",
    "GlobalPeriod",
    "NoRate",
    "Rate",
    "TaxRule",
    "TaxShape",
    "Wording",
    "credit_minor",
    "global_period",
    "inside",
    "invoice_wording",
    "margin_tax_minor",
    "on_top_minor",
    "rate_on",
    "shape_of",
    "share_minor",
    "shown_tax_minor",
    "tax_minor",
    "unfit",
    "whole",
]

AU_CREDIT_BOUNDARY_MINOR = Figure(Decimal(30000), "cents paid", AU_DIV_66)
UK_GLOBAL_LIMIT_MINOR = Figure(Decimal(50000), "pence paid", UK_GLOBAL_LIMIT)


@dataclass(frozen=True, slots=True)
class TaxShape:
    """Tax inside one price, unrounded: fraction x (price - deducted), not below zero where `capped`."""

    fraction: Fraction  # share of a tax-inclusive amount: rate / (100 + rate)
    deducted_minor: int  # what was paid, where the rule takes it off; else 0
    capped: bool  # True where a loss brings nothing back

    def tax(self, price: Fraction) -> Fraction:
        """Return the tax in minor units, exact."""
        due = self.fraction * (price - self.deducted_minor)
        return max(due, Fraction(0)) if self.capped else due


def shape_of(rule: TaxRule, purchase_minor: int, rate_percent: Decimal) -> TaxShape:
    """Return the tax shape of one machine bought at this price.

    Global accounting is not capped: another sale's margin takes up a loss in the same or a later period.
    """
    if rule in UNTAXED:
        return TaxShape(Fraction(0), 0, capped=False)
    fraction = inside(rate_percent)
    if rule is TaxRule.FULL_VAT:
        return TaxShape(fraction, 0, capped=False)
    above_boundary = purchase_minor > AU_CREDIT_BOUNDARY_MINOR.value
    capped = rule in ITEM_BY_ITEM or (rule is TaxRule.AU_GST and above_boundary)
    return TaxShape(fraction, purchase_minor, capped)


def inside(rate_percent: Decimal) -> Fraction:
    """Return the share of a tax-inclusive amount that is tax: 20 % is exactly 1/6, never 0.1667."""
    rate = Fraction(rate_percent)
    if rate < 0:
        raise ValueError("A tax rate cannot be below zero.")
    return rate / (100 + rate)


def tax_minor(purchase_minor: int, sale_minor: int, rule: TaxRule, rate_percent: Decimal) -> int:
    """Return the tax one machine costs at a known rate; `margin_tax_minor` looks the rate up.

    Under AU_GST and NZ_GST it is the tax on the sale less the credit for the purchase, two legal amounts
    rounded apart; below zero means the credit outweighs it. ValueError for a price below zero.
    """
    if purchase_minor < 0 or sale_minor < 0:
        raise ValueError("A price cannot be below zero.")
    if rule in (TaxRule.AU_GST, TaxRule.NZ_GST):
        on_sale = share_minor(sale_minor, rate_percent)
        return on_sale - credit_minor(purchase_minor, on_sale, rule, rate_percent)
    return whole(shape_of(rule, purchase_minor, rate_percent).tax(Fraction(sale_minor)))


def margin_tax_minor(purchase_minor: int, sale_minor: int, rule: TaxRule, on: date, country: str | None = None) -> int:
    """Return the tax one machine costs when sold on a day, in minor units.

    Margin schemes: v x (sale - purchase), nothing on a loss (sources M-03, M-08, M-10); global accounting gives
    the machine's own part, below zero on a loss. See `tax_minor`. Raises NoRate, and ValueError below zero.
    """
    return tax_minor(purchase_minor, sale_minor, rule, rate_on(rule, on, country).rate_percent)


def shown_tax_minor(sale_minor: int, rule: TaxRule, on: date, country: str | None = None) -> int:
    """Return the tax a buyer's invoice shows: nothing on a margin sale, whose tax stays in the stock book."""
    if rule in ON_THE_MARGIN:
        return 0
    return share_minor(sale_minor, rate_on(rule, on, country).rate_percent)


def credit_minor(purchase_minor: int, tax_on_sale_minor: int, rule: TaxRule, rate_percent: Decimal) -> int:
    """Return the credit for goods bought from a private person; 0 under every rule but AU_GST and NZ_GST.

    Australia, above 300 dollars: no more than the tax on the resale (66-10(1)); up to 300 dollars not capped
    (66-10(1A)). New Zealand: not capped. Sources M-11, M-13.
    """
    if rule not in (TaxRule.AU_GST, TaxRule.NZ_GST):
        return 0
    credit = share_minor(purchase_minor, rate_percent)
    capped = rule is TaxRule.AU_GST and purchase_minor > AU_CREDIT_BOUNDARY_MINOR.value
    return min(credit, tax_on_sale_minor) if capped else credit


def share_minor(amount_minor: int, rate_percent: Decimal) -> int:
    """Return the tax inside a tax-inclusive amount, rounded once."""
    return whole(amount_minor * inside(rate_percent))


def on_top_minor(price_minor: int, rate_percent: Decimal) -> int:
    """Return the sales tax added on top of a price; the rate is the place's own. Source M-14."""
    return whole(price_minor * Fraction(rate_percent) / 100)


def whole(amount: Fraction) -> int:
    """Round an exact amount by the house's one rounding, without losing a half on the way."""
    # Twice the amount, cut to a whole number, keeps which side of a half it lies on; Decimal division would not.
    halves = abs(amount) * 2
    kept = Decimal(halves.numerator // halves.denominator) / 2
    return round_half_up(kept if amount >= 0 else -kept)


def unfit(rule: TaxRule, purchase_minor: int) -> str:
    """Return why a machine cannot go under the shop's rule, in a sentence; empty when it can. Source M-06."""
    if rule is TaxRule.UK_GLOBAL and purchase_minor > UK_GLOBAL_LIMIT_MINOR.value:
        return "Bought for more than £500, so it cannot go into global accounting; use the item-by-item margin scheme."
    return ""


@dataclass(frozen=True, slots=True)
class GlobalPeriod:
    """One return period of global accounting."""

    margin_minor: int
    tax_minor: int
    carried_forward_minor: int  # purchases not yet used up; they go to the next period


def global_period(
    sales_minor: int, purchases_minor: int, brought_forward_minor: int, rate_percent: Decimal
) -> GlobalPeriod:
    """Return margin, tax and excess purchases of one period. Excess is carried, never refunded. Source M-05."""
    difference = sales_minor - purchases_minor - brought_forward_minor
    margin = max(0, difference)
    return GlobalPeriod(margin, share_minor(margin, rate_percent), max(0, -difference))
