"""Came back, prepared: the complaint beside what was measured, done and promised when the machine was sold."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace
from datetime import date

from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from handover import buyer_links, clocks, compose, distance, distance_rows, return_steps, returns
from handover.clocks import Clocks
from handover.models import Sheet
from handover.sheet import SheetContent
from workshop.bench import escapes, say
from workshop.bench import pages as bench_pages
from workshop.bench.facts import prove
from workshop.core.models import Job, Reading, Shop
from workshop.core.templatetags.measures import day, money, short_day
from workshop.core.words import JobKind, Outcome, full_stop
from workshop.pricing import balances, costs, rows

NOT_YET = "not yet"


@dataclass(frozen=True, slots=True)
class Pair:
    """One check: what it said when the machine was sold, and what it says now."""

    what: str
    limit: str
    then: str
    now: str
    now_fails: bool = False


@dataclass(frozen=True, slots=True)
class Page:
    """Everything the Came back page prints but its forms."""

    sale: Job
    back: Job | None  # the return under way, or the latest that has ended
    can_open: bool  # none is under way: the next one can be opened
    clocks: Clocks
    pairs: list[Pair]
    done: list[str]
    left: list[str]
    earlier: list[tuple[str, str]]  # earlier returns: when, and what for
    steps: tuple[str, ...]
    yours_again: str  # of a sale that its buyer cancelled
    may_cancel: str  # of a sale at a distance: until when they may cancel
    then_sheets: list[Sheet]
    now_sheets: list[Sheet]
    asks_escape: bool
    cost: list[rows.SumRow] = field(default_factory=list)
    cost_words: str = ""


def page(job: Job, shop: Shop, today: date, *, shows_money: bool) -> Page | None:
    """Return the page of a machine's latest job; None where it was never sold."""
    sale = returns.sold_job(job)
    if sale is None:
        return None
    back = job if job.kind == JobKind.CAME_BACK else None
    before = _before(sale, back)
    sheets = list(buyer_links.sheets(sale))
    then = [sheet for sheet in sheets if sheet.job_id in {one.pk for one in before}]
    content = _content(then)
    on = timezone.localtime(back.opened_at).date() if back else today
    found = Page(
        sale=sale,
        back=back,
        can_open=not returns.cannot_come_back(job),
        clocks=clocks.clocks(sale, shop, on),
        pairs=_pairs(before, back),
        done=list(content.done) if content else [line.words for line in bench_pages.work_section(sale)["lines"]],
        left=list(content.left) if content else [],
        earlier=[(short_day(one.opened_at), full_stop(f"“{one.complaint}”")) for one in before if one != sale],
        steps=return_steps.steps(back.cause, shop.country) if back else (),
        yours_again=balances.yours_again(back) if back else "",
        may_cancel=_may_cancel(sale, today),
        then_sheets=then,
        now_sheets=[sheet for sheet in sheets if back is not None and sheet.job_id == back.pk],
        asks_escape=back is not None and escapes.asked(back),
    )
    return _with_cost(found, shop) if shows_money and back else found


def _may_cancel(sale: Job, today: date) -> str:
    known = distance.of(compose.standing_reservation(sale))
    return distance_rows.state(known, today, here=True) if known else ""


def _before(sale: Job, back: Job | None) -> list[Job]:
    """Return the sale and the returns before this one, oldest first."""
    rows = Job.objects.filter(Q(pk=sale.pk) | Q(first_job=sale)).order_by("pk")
    return list(rows.filter(pk__lt=back.pk) if back else rows)


def _content(sheets: Iterable[Sheet]) -> SheetContent | None:
    newest = max(sheets, key=lambda sheet: sheet.number, default=None)
    return SheetContent.readable(newest.content) if newest else None


def _pairs(before: list[Job], back: Job | None) -> list[Pair]:
    """Return each check with its newest reading before the return, and the newest of the return."""
    ids = [job.pk for job in before]
    kept = Reading.objects.filter(job_id__in=[*ids, back.pk] if back else ids, struck=False, corrected_by=None)
    then: dict[str, Reading] = {}
    now: dict[str, Reading] = {}
    for reading in kept.order_by("at", "pk"):
        (now if back and reading.job_id == back.pk else then)[reading.item] = reading
    shown = [_pair(then.get(item), now.get(item)) for item in dict.fromkeys([*then, *now])]
    return [*_recipes(before, back), *sorted(shown, key=lambda pair: not pair.now_fails)]


def _pair(then: Reading | None, now: Reading | None) -> Pair:
    known = now or then
    if known is None:
        raise ValueError("A pair has a reading.")
    return Pair(
        known.title,
        known.limit_words,
        _found(then) if then else "not read",
        _found(now) if now else NOT_YET,
        now_fails=now is not None and now.outcome == Outcome.FAIL,
    )


def _found(reading: Reading) -> str:
    failed = ", outside the limit" if reading.outcome == Outcome.FAIL else ""
    return f"{say.found_words(reading)}{failed}, {short_day(reading.at)}"


def _recipes(before: list[Job], back: Job | None) -> list[Pair]:
    """Return the shots proved then and now, where the machine pulls any."""
    newest = before[-1]
    facts = prove.facts([job.pk for job in (before[0], newest, back) if job is not None])
    then = next((words for job in (newest, before[0]) if (words := _recipe(facts[job.pk]))), "")
    now = _recipe(facts[back.pk]) if back else ""
    return [Pair("Recipe", "", then or "none proved", now or NOT_YET)] if then or now else []


def _recipe(facts: prove.ProveFacts) -> str:
    return str(facts.recipe) if facts.recipe_holds() else ""


def _with_cost(page: Page, shop: Shop) -> Page:
    back = page.back
    if back is None:
        return page
    job_cost = costs.of_jobs([back.pk], shop)[back.pk]
    lines = [row for row in rows.cost_rows(job_cost, shop) if row.code not in ("PURCHASE", "RESERVE")]
    counted = Job.objects.at_our_cost().filter(pk=back.pk).exists()
    kept = money(costs.reserve_minor(job_cost.returns, shop), shop)
    mean = money(costs.mean_claim_minor(job_cost.returns, shop), shop)
    counts = "Its cost counts in that." if back.closed_at else "Once this return ends, its cost counts in that."
    words = (
        f"It is paid from the reserve: {kept} is set aside for each machine sold, at {mean} a return. {counts}"
        if counted
        else "It does not count against the reserve: no fault of ours brought it back."
    )
    return replace(page, cost=lines, cost_words=words)


# --- on This morning -------------------------------------------------------------------------------------


def in_short(backs: Collection[Job], shop: Shop | None) -> dict[int, str]:
    """Say each return in a line: the complaint, what still ran that day, its cause. Four queries for any number."""
    sales = [back.first_job_id for back in backs if back.first_job_id] if shop else []
    got, printed = clocks.got_on_of(sales), clocks.printed_for_of(sales)
    return {back.pk: _line(back, got, printed, shop) for back in backs}


def _line(back: Job, got: dict[int, date], printed: dict[int, date], shop: Shop | None) -> str:
    on = timezone.localtime(back.opened_at).date()
    sale = back.first_job_id or 0
    ran = clocks.in_short(got.get(sale), shop, on, printed.get(sale)) if shop else ""
    cause = f"{back.get_cause_display()}." if back.cause else "Nobody named the cause yet."
    return " ".join(part for part in (f"“{back.complaint}”", ran, cause) if part)


# --- on the Machine page ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Section:
    """Came back on the Machine page: in a sentence, and where the whole of it stands."""

    words: str
    more: str
    url: str
    link: str


def section(job: Job) -> Section | None:
    """Return the section of a machine that came back or was sold; None for any other. One query at most."""
    url = reverse("handover:came_back", args=[job.machine.slug])
    if job.kind == JobKind.CAME_BACK:
        cause = str(job.get_cause_display()) if job.cause else "The cause is not named yet"
        more = f"{cause}: {job.cause_words}" if job.cause_words else cause
        return Section(f"“{job.complaint}”", full_stop(f"Came back {day(job.opened_at)}. {more}"), url, "Then and now")
    if returns.sold_job(job) is None:
        return None
    return Section("", "", url, "It came back")
