"""Floor, suggested price and the sum at any price of one job: its cost under the workshop's fees and tax rule."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from workshop.core.models import Shop
from workshop.pricing.costs import JobCost
from workshop.pricing.models import SaleLine
from workshop.trade.money import price as trade
from workshop.trade.money.extras import NOTHING, Extras, add_up
from workshop.trade.money.price import Ask, Breakdown, NoPrice, Terms
from workshop.trade.money.tax import NoRate, TaxRule, unfit

_HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True)
class Sums:
    """Everything that can be said about the price of one job on a day. `no_price` says why there is none."""

    job_cost: JobCost
    terms: Terms
    floor: Ask | None
    suggested: Ask | None
    no_price: str = ""
    extras: Extras = NOTHING  # what is sold with it, where a sale stands

    def at(self, price_minor: int) -> Breakdown:
        """Return the sum at a price. :raises NoPrice: when no rate is known for the day."""
        return trade.profit_at(price_minor, **_costs(self.job_cost), terms=self.terms, extras=self.extras)


def rule_of(shop: Shop, job_cost: JobCost) -> TaxRule:
    """Return the tax rule of one machine: the purchase's own, or the shop's where none was chosen on that day.

    A shop without a rule has none anywhere. What is too dear for global accounting goes item by item.
    """
    if shop.tax_rule == TaxRule.NONE or job_cost.purchase is None:
        return TaxRule(shop.tax_rule)
    own = TaxRule(job_cost.purchase.tax_rule)
    rule = TaxRule(shop.tax_rule) if own is TaxRule.NONE else own
    return TaxRule.UK_MARGIN if unfit(rule, job_cost.purchase.price_minor) else rule


def terms_of(shop: Shop, job_cost: JobCost, on: date) -> Terms:
    """Return how it is sold on a day: rule, fees, place."""
    return terms_under(rule_of(shop, job_cost), shop, on)


def terms_under(rule: TaxRule, shop: Shop, on: date) -> Terms:
    """Return the workshop's fees and place under a tax rule on a day."""
    return Terms(
        rule=rule,
        on=on,
        selling_fee=shop.selling_fee_percent / _HUNDRED,
        payment_fee=shop.payment_fee_percent / _HUNDRED,
        fixed_fee_minor=shop.fixed_fee_minor,
        country=shop.country,
    )


def solve(job_cost: JobCost, shop: Shop, on: date, lines: Collection[SaleLine] = ()) -> Sums:
    """Return floor and suggested price (the shop's wanted profit), or the sentence why none can be.

    `lines`: the extras of its sale, where one stands.
    """
    terms, costs = terms_of(shop, job_cost, on), _costs(job_cost)
    wanted = max(0, shop.profit_wanted_minor)
    try:
        extras = add_up([line.extra for line in lines], terms.rule, on, terms.country)
        floor = trade.floor(**costs, terms=terms, extras=extras)
        suggested = trade.price_for_profit(**costs, profit_minor=wanted, terms=terms, extras=extras)
    except (NoPrice, NoRate) as why:
        return Sums(job_cost, terms, None, None, str(why))
    return Sums(job_cost, terms, floor, suggested, extras=extras)


def _costs(job_cost: JobCost) -> dict[str, int]:
    cost = job_cost.cost
    return {
        "purchase_minor": cost.tax_purchase_minor,
        "other_costs_minor": cost.other_costs_minor,
        "reserve_minor": cost.reserve_minor,
    }
