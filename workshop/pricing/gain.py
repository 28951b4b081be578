"""Net gain for each remaining bench hour: what to work on next."""

from collections.abc import Collection
from datetime import date
from fractions import Fraction

from workshop.core.models import Job, Shop
from workshop.pricing import asking, balances, costs, lines, sums
from workshop.pricing.costs import JobCost
from workshop.pricing.models import AskingPrice, Sale, SaleLine
from workshop.pricing.stations import day_of_sale
from workshop.trade.money.price import NoPrice
from workshop.trade.money.tax import whole

LEAST_MINUTES = 15  # no machine is ever nearer to done: handing over takes that long. House policy.


def per_hour_minor(job_ids: Collection[int], today: date | None = None) -> dict[int, int | None]:
    """Return the likely gain an hour of each job in minor units, None where nothing can be said.

    Gain: the profit at the price agreed, asked, or else suggested. Hours: the model's usual minutes less those
    spent. Unknown without a purchase, without usual minutes, or with neither a price nor a profit wanted.
    """
    shop = costs.the_shop()
    rows = Job.objects.filter(pk__in=job_ids).values_list("pk", "machine__notes__usual_minutes")
    usual = dict(rows)
    rolled, asked, sold = costs.of_jobs(job_ids, shop), asking.standing(job_ids), balances.standing(job_ids)
    extras = lines.of_jobs(sold)
    found: dict[int, int | None] = {}
    for pk in job_ids:
        profit = _profit(shop, rolled[pk], asked.get(pk), sold.get(pk), today, extras.get(pk, []))
        found[pk] = _per_hour(profit, usual.get(pk), rolled[pk].minutes)
    return found


def _profit(
    shop: Shop,
    job_cost: JobCost,
    asked: AskingPrice | None,
    sale: Sale | None,
    today: date | None,
    extras: list[SaleLine],
) -> int | None:
    if job_cost.purchase is None:
        return None
    solved = sums.solve(job_cost, shop, day_of_sale(sale, asked, job_cost, today), extras)
    price = sale.price_minor if sale else asked.price_minor if asked else None
    if price is None:
        # Without a price the suggestion stands in; where no profit is wanted it says nothing.
        return solved.suggested.profit_minor if solved.suggested and shop.profit_wanted_minor > 0 else None
    try:
        return solved.at(price).profit_minor
    except NoPrice:
        return None


def _per_hour(profit_minor: int | None, usual_minutes: int | None, spent: int) -> int | None:
    if profit_minor is None or usual_minutes is None:
        return None
    remaining = max(LEAST_MINUTES, usual_minutes - spent)
    return whole(Fraction(profit_minor * 60, remaining))
