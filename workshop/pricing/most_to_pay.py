"""The most to pay for one machine: what was typed, under the workshop's rates, fees and tax rule."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import ceil

from workshop.core.models import Shop
from workshop.core.templatetags.measures import money
from workshop.pricing import costs, rows, sums
from workshop.trade.money.buying import Bid, Prospect, expected_minor, most_to_pay
from workshop.trade.money.costing import Cost, roll_up
from workshop.trade.money.price import NoPrice, SumLine, Terms, profit_at
from workshop.trade.money.tax import UK_GLOBAL_LIMIT_MINOR, TaxRule, unfit
from workshop.trade.sources import HOUSE_POLICY, Figure

# A machine that will not come right is given up half way: half the work is spent, its new parts can be used again.
SPENT_BY_THEN = Figure(Decimal("0.5"), "of the work expected", HOUSE_POLICY)

Breakdown = dict[str, list[tuple[str, str, int]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """The four numbers: price, work (minutes and parts), profit, and the chance it is not mended with its salvage."""

    price_minor: int
    minutes: int
    parts_minor: int
    profit_minor: int
    not_mended_percent: Decimal
    salvage_minor: int


@dataclass(frozen=True, slots=True)
class Answer:
    """The most to pay and its sums: when mended, when not, and both together. `no_price` says why there is none."""

    rule: TaxRule
    bid_minor: int | None
    no_price: str
    mended: tuple[SumLine, ...]
    not_mended: tuple[SumLine, ...]
    together: tuple[SumLine, ...]

    @property
    def breakdown(self) -> Breakdown:
        """The three sums as they are kept, each line [code, words, minor units]."""
        sums_by_name = {"mended": self.mended, "not_mended": self.not_mended, "together": self.together}
        return {
            name: [(line.code, line.words, line.amount_minor) for line in sum_] for name, sum_ in sums_by_name.items()
        }


def work_out(guess: Guess, shop: Shop, on: date) -> Answer:
    """Return the answer for what was typed, as if it were sold on a day, rates and fees as they are now."""
    cost = _cost(guess.minutes, shop, parts_minor=guess.parts_minor, reserve_minor=_reserve(shop))
    failed = _cost(_spent_by_then(guess), shop)
    prospect = Prospect(
        price_minor=guess.price_minor,
        costs_minor=cost.total_minor,
        success=1 - guess.not_mended_percent / 100,
        salvage_minor=guess.salvage_minor,
        failed_costs_minor=failed.total_minor,
    )
    terms, bid, why = _bid(prospect, guess, shop, on)
    return Answer(
        rule=terms.rule,
        bid_minor=bid.bid_minor if bid else None,
        no_price=why,
        mended=_mended(guess, cost, terms),
        not_mended=_not_mended(guess, failed) if guess.not_mended_percent else (),
        together=bid.lines if bid else (),
    )


def _reserve(shop: Shop) -> int:
    return costs.reserve_minor(costs.returns(), shop)


def _cost(minutes: int, shop: Shop, *, parts_minor: int = 0, reserve_minor: int = 0) -> Cost:
    return roll_up(
        purchase_minor=0,
        parts_minor=parts_minor,
        minutes=minutes,
        hourly_rate_minor=shop.hourly_rate_minor,
        overhead_per_hour_minor=shop.overhead_minor_per_h,
        extra_minor=0,
        reserve_minor=reserve_minor,
    )


def _bid(prospect: Prospect, guess: Guess, shop: Shop, on: date) -> tuple[Terms, Bid | None, str]:
    """Return the terms, the bid, or why there is none.

    What is too dear for global accounting goes item by item (source M-06), where it may be worth less than the
    limit: then the limit itself is the most.
    """
    terms = sums.terms_under(TaxRule(shop.tax_rule), shop, on)
    try:
        bid = most_to_pay(prospect, profit_minor=guess.profit_minor, terms=terms)
        if not unfit(terms.rule, bid.bid_minor):
            return terms, bid, ""
        by_item = sums.terms_under(TaxRule.UK_MARGIN, shop, on)
        alone = most_to_pay(prospect, profit_minor=guess.profit_minor, terms=by_item)
    except NoPrice as why:
        return terms, None, _why(prospect, guess, terms, shop, str(why))
    if unfit(terms.rule, alone.bid_minor):
        return by_item, alone, ""
    limit = int(UK_GLOBAL_LIMIT_MINOR.value)
    cut = SumLine("LIMIT", "Above this it cannot go into global accounting", limit - bid.bid_minor)
    return terms, Bid(limit, (*bid.lines, cut)), ""


def _why(prospect: Prospect, guess: Guess, terms: Terms, shop: Shop, told: str) -> str:
    """Say by how much it falls short as a gift; or that no rate is known."""
    try:
        short = guess.profit_minor - expected_minor(prospect, 0, terms)
    except NoPrice:
        return told
    return f"Not even as a gift: it would still leave {money(ceil(short), shop)} less than the profit wanted."


def _mended(guess: Guess, cost: Cost, terms: Terms) -> tuple[SumLine, ...]:
    """Return the sum when it comes right, before tax, profit and what is paid for it."""
    untaxed = Terms(TaxRule.NONE, terms.on, terms.selling_fee, terms.payment_fee, terms.fixed_fee_minor)
    fees = profit_at(guess.price_minor, purchase_minor=0, other_costs_minor=0, reserve_minor=0, terms=untaxed)
    lines = [SumLine("PRICE", "It sells for", guess.price_minor)]
    lines += [line for line in fees.lines if line.code in ("SELLING_FEE", "PAYMENT_FEE", "FIXED_FEE")]
    return (*lines, *_costs(cost, guess.minutes), SumLine("LEAVES", "Leaves", fees.profit_minor - cost.total_minor))


def _not_mended(guess: Guess, failed: Cost) -> tuple[SumLine, ...]:
    lines = (SumLine("SALVAGE", "Its parts bring", guess.salvage_minor), *_costs(failed, _spent_by_then(guess)))
    return (*lines, SumLine("LEAVES", "Leaves", guess.salvage_minor - failed.total_minor))


def _spent_by_then(guess: Guess) -> int:
    return int(guess.minutes * SPENT_BY_THEN.value)


def _costs(cost: Cost, minutes: int) -> tuple[SumLine, ...]:
    words = {
        "PARTS": "Parts",
        "LABOUR": f"Work, {rows.duration(minutes)}",
        "OVERHEAD": "Overhead for that time",
        "RESERVE": "Set aside for returns",
    }
    return tuple(SumLine(line.code, words[line.code], -line.amount_minor) for line in cost.lines if line.amount_minor)
