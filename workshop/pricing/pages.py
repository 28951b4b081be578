"""Prepared rows of money: the Money section, the Price page, balances."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.urls import reverse

from workshop.core import stations as core_stations
from workshop.core.models import Job, Shop, Signoff
from workshop.core.templatetags.measures import money, short_day
from workshop.core.words import ClosedAs
from workshop.pricing import asking, balances, costs, rows, sums
from workshop.pricing import lines as sale_lines
from workshop.pricing.balances import Balance
from workshop.pricing.costs import JobCost
from workshop.pricing.models import AskingPrice, PartOut
from workshop.pricing.rows import ExtraRow, SumRow
from workshop.pricing.stations import CHECKS, STATION, PriceFacts, day_of_sale
from workshop.pricing.sums import Sums
from workshop.trade.money.price import NoPrice
from workshop.trade.money.tax import UNTAXED, TaxRule, unfit


def balance(job_ids: Collection[int]) -> dict[int, Balance]:
    """Return price, paid and to come of each job that has a standing sale, in minor units."""
    return balances.balance(job_ids)


@dataclass(frozen=True, slots=True)
class MoneySection:
    """The Money section of the Machine page."""

    lines: list[SumRow]
    after: list[SumRow]
    url: str
    link: str
    payments_url: str


def money_section(job: Job) -> MoneySection:
    """Return the rows of Money: costs, cost so far, then what is asked, agreed and to come."""
    shop = costs.the_shop()
    job_cost = costs.of_jobs([job.pk], shop)[job.pk]
    asked, sale = asking.standing([job.pk]).get(job.pk), balances.standing([job.pk]).get(job.pk)
    extras = sale_lines.rows(sale_lines.of_jobs({job.pk: sale})[job.pk], shop) if sale else []
    after = [SumRow("ASKING", "Asking price", money(asked.price_minor, shop))] if asked else []
    if sale:
        held = balances.of_sale(sale)
        after += [
            SumRow("AGREED", f"Agreed with {sale.buyer}, {short_day(sale.agreed_on)}", money(sale.price_minor, shop)),
            *(SumRow("EXTRA_SOLD", f"With it: {row.words}", row.amount) for row in extras),
            SumRow("TO_COME", "To come", money(held.to_come_minor, shop), heavy=True),
        ]
    if job.closed_as == ClosedAs.STRIPPED:
        after += _stripped(job, job_cost, shop)
    name = job.machine.slug
    return MoneySection(
        lines=rows.cost_rows(job_cost, shop),
        after=after,
        url=reverse("pricing:price", args=[name]),
        link="" if job.closed_at else "Change the price" if asked else "Price it",
        payments_url=reverse("pricing:payments", args=[name]),
    )


def _stripped(job: Job, job_cost: JobCost, shop: Shop) -> list[SumRow]:
    """Return what came out of a stripped machine into the drawer, and what that leaves of its cost."""
    out = PartOut.objects.filter(ending__job=job, ending__withdrawn_at__isnull=True).select_related("movement__part")
    moved = [row.movement for row in out.order_by("pk")]
    lines = [
        SumRow("DRAWER", f"Into the drawer: {each.qty} x {each.part}", money(each.value_minor, shop)) for each in moved
    ]
    left = sum(each.value_minor for each in moved) - job_cost.cost.total_minor
    return [*lines, SumRow("LEFT", "Left over" if left >= 0 else "Lost", money(left, shop), heavy=True)]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of "Price is finished when"."""

    what: str
    glyph: str
    state: str
    found: str
    url: str


@dataclass(frozen=True, slots=True)
class PriceMoney:
    """The figures of the Price page, for the owner alone."""

    costs: list[SumRow]
    extras: list[ExtraRow]
    columns: list[SumRow]  # what the tax looks at, and the stock cost: never one figure
    figures: list[tuple[str, str]]
    sum_title: str
    sum: list[SumRow]
    no_price: str
    unfit: str
    asked: AskingPrice | None
    suggested_minor: int | None
    seller_url: str


@dataclass(frozen=True, slots=True)
class PricePage:
    """Everything the Price page prints but its forms."""

    facts: PriceFacts
    lines: list[Line]
    unmet_work: bool
    second: str  # "", "begun" or "done"
    closed: bool
    signoff: Signoff | None
    changed: bool
    money: PriceMoney | None


def price_page(job: Job, today: date, *, shows_money: bool, at_minor: int | None = None) -> PricePage:
    """Return the page's rows. A person who may not see prices gets no figure. `at_minor`: a price being tried."""
    shop = costs.the_shop()
    facts = STATION.facts([job.pk])[job.pk]
    signed = Signoff.objects.filter(job=job, station=STATION.code, withdrawn_at__isnull=True).select_related("by")
    signoff = signed.first()
    look = facts.second_look
    return PricePage(
        facts=facts,
        lines=_lines(job, facts, shop if shows_money else None),
        unmet_work=not facts.job_cost.minutes,
        second="done" if look.done else "begun" if look.begun else "",
        closed=job.closed_at is not None,
        signoff=signoff,
        changed=core_stations.standing(STATION, facts, signoff).changed,
        money=_money(job, facts, shop, today, at_minor) if shows_money else None,
    )


def _lines(job: Job, facts: PriceFacts, shop: Shop | None) -> list[Line]:
    if facts.not_needed:
        return [Line("Price", "na", "not needed", facts.not_needed, "")]
    found = _found(facts, shop)
    lines = []
    for code, what, check, page, anchor in CHECKS:
        sentence = check(facts)
        glyph, state = ("open", "to do") if sentence else ("full", "done")
        url = f"{reverse(page, args=[job.machine.slug])}#{anchor}" if sentence else ""
        lines.append(Line(what, glyph, state, sentence or found[code], url))
    return lines


def _found(facts: PriceFacts, shop: Shop | None) -> dict[str, str]:
    """Return what was found for each line that is met; without figures for a person who may not see them."""
    job_cost, asked = facts.job_cost, facts.asking
    bought = job_cost.purchase
    looked = "six faces, 1 new mark" if len(facts.second_look.marks) == 1 else _marks(len(facts.second_look.marks))
    return {
        "purchase": money(bought.price_minor, shop) if bought and shop else "known",
        "work": rows.duration(job_cost.minutes) if job_cost.minutes else f"none: {job_cost.no_work_because}",
        "asking": _asked_words(facts, asked, shop),
        "second_look": looked,
        "photos": _photos(facts.photos_sold),
    }


def _photos(sold: int) -> str:
    if not sold:
        return "arrival photos only: add some as it is sold, on Intake"
    return "1 photo as it is sold" if sold == 1 else f"{sold} photos as it is sold"


def _marks(count: int) -> str:
    return f"six faces, {count} new marks" if count else "same as arrived"


def _asked_words(facts: PriceFacts, asked: AskingPrice | None, shop: Shop | None) -> str:
    if asked is None or shop is None:
        return "chosen"
    under = facts.floor_minor is not None and asked.price_minor < facts.floor_minor
    owned = f", under the floor: {asked.below_floor_words}" if under else ""
    return f"{money(asked.price_minor, shop)}{owned}"


def _money(job: Job, facts: PriceFacts, shop: Shop, today: date, at_minor: int | None) -> PriceMoney:
    job_cost, asked = facts.job_cost, facts.asking
    sold = balances.standing([job.pk])
    extras = sale_lines.of_jobs(sold).get(job.pk, [])
    solved = sums.solve(job_cost, shop, day_of_sale(sold.get(job.pk), asked, job_cost, today), extras)
    title, lines = _sum(solved, asked, shop, at_minor) if job_cost.purchase else ("", [])
    return PriceMoney(
        costs=rows.cost_rows(job_cost, shop),
        extras=rows.extra_rows(job_cost, shop),
        columns=_columns(solved, shop),
        figures=_figures(solved, asked, shop) if job_cost.purchase else [],
        sum_title=title,
        sum=lines,
        no_price=solved.no_price,
        unfit=_unfit(shop, solved),
        asked=asked,
        suggested_minor=solved.suggested.price_minor if solved.suggested and job_cost.purchase else None,
        seller_url=reverse("pricing:payments", args=[job.machine.slug]) + "#seller",
    )


def _columns(solved: Sums, shop: Shop) -> list[SumRow]:
    """Return the two columns that must never be mixed; the first only where a tax rule looks at it."""
    cost = solved.job_cost.cost
    stock = SumRow("STOCK", "Stock cost: without what is set aside", money(cost.stock_cost_minor, shop))
    if solved.terms.rule in UNTAXED or solved.job_cost.purchase is None:
        return [stock]
    words = "Tax looks at the price paid alone"
    return [SumRow("TAX_PURCHASE", words, money(cost.tax_purchase_minor, shop)), stock]


def _figures(solved: Sums, asked: AskingPrice | None, shop: Shop) -> list[tuple[str, str]]:
    figures = []
    if solved.floor and solved.suggested:
        left = money(solved.suggested.profit_minor, shop)
        figures = [
            ("floor: nothing lost", money(solved.floor.price_minor, shop)),
            (f"suggested: leaves {left}", money(solved.suggested.price_minor, shop)),
        ]
    if asked:
        figures.append((f"asked since {short_day(asked.at)}", money(asked.price_minor, shop)))
    return figures


def _sum(solved: Sums, asked: AskingPrice | None, shop: Shop, at_minor: int | None) -> tuple[str, list[SumRow]]:
    """Return the title and the sum: at the price tried, else asked, else suggested."""
    price, title = at_minor, "The sum at the price you try"
    if price is None and asked:
        price, title = asked.price_minor, "The sum at the asking price"
    if price is None and solved.suggested:
        price, title = solved.suggested.price_minor, "The sum at the suggested price"
    if price is None:
        return "", []
    try:
        return title, rows.sum_rows(solved.at(price), shop)
    except NoPrice:
        return "", []


def _unfit(shop: Shop, solved: Sums) -> str:
    purchase = solved.job_cost.purchase
    return unfit(TaxRule(shop.tax_rule), purchase.price_minor) if purchase else ""


def price_context(job: Job, today: date, *, shows_money: bool, at_minor: int | None = None) -> dict[str, Any]:
    """Return the page's rows under the names the template uses."""
    page = price_page(job, today, shows_money=shows_money, at_minor=at_minor)
    return {"page": page, "money": page.money, "facts": page.facts}
