"""Decisions that stand, the ways weighed for one machine, and when the question must be asked again."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from workshop.bench.facts import prove
from workshop.bench.facts.prove import ItemState, ProveFacts
from workshop.core.models import Job, ModelNotes, Shop
from workshop.core.templatetags.measures import short_day
from workshop.core.words import JobKind
from workshop.pricing import asking, balances, costs, odds, odds_words, rows, sums
from workshop.pricing.costs import JobCost
from workshop.pricing.models import CURRENT, AskingPrice, Decision, Sale
from workshop.pricing.stations import day_of_sale
from workshop.trade.money.price import NoPrice
from workshop.trade.money.ways import COMES_RIGHT, Outlook, Way, Weighed, weigh


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of one job when somebody decides. Amounts in minor units."""

    job_cost: JobCost
    shop: Shop
    decision: Decision | None
    asked: AskingPrice | None
    sale: Sale | None
    failed: tuple[int, ...]  # readings of stop items that failed and stand
    notes: ModelNotes
    on: date


def standing(job_ids: Collection[int]) -> dict[int, Decision]:
    """Return the newest decision of each job that has one and did not take it back. One query."""
    found = Decision.objects.filter(CURRENT, job_id__in=job_ids).select_related("by").order_by("pk")
    return {row.job_id: row for row in found}


def known(job: Job, today: date) -> Known:
    """Return what is known of one job today."""
    shop = costs.the_shop()
    job_cost = costs.of_jobs([job.pk], shop)[job.pk]
    asked, sale = asking.standing([job.pk]).get(job.pk), balances.standing([job.pk]).get(job.pk)
    return Known(
        job_cost=job_cost,
        shop=shop,
        decision=standing([job.pk]).get(job.pk),
        asked=asked,
        sale=sale,
        failed=tuple(failed_stops(prove.facts([job.pk])[job.pk])),
        notes=job.machine.notes,
        on=day_of_sale(sale, asked, job_cost, today),
    )


def failed_stops(facts: ProveFacts) -> dict[int, str]:
    """Return the failed readings of stop items that stand, with the item's title."""
    failed = [s for s in facts.states.values() if s.item.stop and s.state is ItemState.FAILED and s.reading]
    return {s.reading.pk: s.item.title for s in failed if s.reading is not None}


def weighed(of: Known, outlook: Outlook) -> dict[Way, Weighed | None]:
    """Return every way with its sum, the workshop's own reserve set aside. :raises NoPrice: without a tax rate."""
    return weigh(
        replace(outlook, reserve_minor=of.job_cost.cost.reserve_minor),
        rate_minor_per_hour=of.shop.hourly_rate_minor,
        purchase_minor=of.job_cost.cost.tax_purchase_minor,
        terms=sums.terms_of(of.shop, of.job_cost, of.on),
    )


def first_thoughts(of: Known) -> dict[str, Any]:
    """Return what the form starts from: the last decision less the hours worked since, else the model's usual hours.

    The price is the likely one, with where it comes from (`price_words`); the rest waits for a person.
    """
    last, worked, usual = of.decision, of.job_cost.minutes, of.notes.usual_minutes
    if last is not None:
        names = ("parts_minor", "price_minor", "in_ten", "strip_minor", "pass_on_minor", "give_back_minor")
        left = max(0, last.minutes - (worked - last.worked_minutes))
        return {n: getattr(last, n) for n in names} | {
            "minutes": left,
            "strip_minutes": last.strip_minutes,
            "price_words": f"As thought on {short_day(last.at)}.",
        }
    minutes = max(0, usual - worked) if usual is not None else None
    price_minor, words = likely(of)
    return {"minutes": minutes, "price_minor": price_minor, "price_words": words, "in_ten": int(COMES_RIGHT.value)}


def likely(of: Known) -> tuple[int | None, str]:
    """Return what a machine is likely to fetch, in minor units, and in words what tells it; nothing where nothing does.

    In this order: agreed, asked, as its lot says, own sales of the model, its costs with the profit wanted. The last
    is what it must fetch, not what it will, so everything else goes before it.
    """
    if of.sale is not None:
        return of.sale.price_minor, "As agreed with its buyer."
    if of.asked is not None:
        return of.asked.price_minor, f"As asked since {short_day(of.asked.at)}."
    if of.job_cost.purchase is not None and of.job_cost.purchase.lot_weight_minor:
        return of.job_cost.purchase.lot_weight_minor, "What it should fetch, as its lot says."
    sold = odds.evidence(of.notes, of.notes.kind)
    if sold.fetched is not None:
        return sold.fetched.median_minor, f"From our own sales. {odds_words.sold_words(sold, of.shop)}"
    must_minor = _for_a_profit(of)
    return must_minor, "" if must_minor is None else "No sale tells it: what it must fetch for the profit wanted."


def _for_a_profit(of: Known) -> int | None:
    if of.job_cost.purchase is None or of.shop.profit_wanted_minor <= 0:
        return None
    try:
        solved = sums.solve(of.job_cost, of.shop, of.on)
    except NoPrice:
        return None
    return solved.suggested.price_minor if solved.suggested else None


# --- asked again -----------------------------------------------------------------------------------------


def asks(job_ids: Collection[int], proved: Mapping[int, ProveFacts]) -> dict[int, str]:
    """Return, for each job that must be decided (again), why, in a sentence: three queries for any number of jobs.

    Asked when the minutes worked pass the estimate, or a stop item failed since a decision to mend; any other
    decision waits to be carried out. Without a decision the estimate is the model's usual minutes. `proved`: the
    facts of Prove, read by the caller.
    """
    decided, worked = standing(job_ids), costs.minutes_spent(job_ids)
    jobs = Job.objects.open().filter(pk__in=job_ids).values_list("pk", "kind", "machine__notes__usual_minutes")
    found = {}
    for pk, kind, usual in jobs:
        decision = decided.get(pk)
        if decision is not None:
            why = _again(decision, worked[pk], failed_stops(proved[pk]))
        else:
            why = _first(worked[pk], usual) if kind != JobKind.CAME_BACK else ""
        if why:
            found[pk] = why
    return found


def _again(decision: Decision, worked: int, failed: Mapping[int, str]) -> str:
    if decision.way != Way.MEND:
        return f"Decided on {short_day(decision.at)}: {Way(decision.way).label.lower()}. End it so, or decide again."
    new = [title for pk, title in failed.items() if pk not in decision.failed]
    if new:
        return f"Decide again: {new[0][:1].lower()}{new[0][1:]} failed since {short_day(decision.at)}."
    since = worked - decision.worked_minutes
    if since > decision.minutes:
        spent, thought = rows.duration(since), rows.duration(decision.minutes)
        return f"Decide again: {spent} worked since {short_day(decision.at)}, {thought} were thought enough."
    return ""


def _first(worked: int, usual: int | None) -> str:
    if usual is None or worked <= usual:
        return ""
    return f"Decide: {rows.duration(worked)} worked, and this model usually takes {rows.duration(usual)}. Carry on?"
