"""Prepared rows of deciding: the four ways side by side, the reasons in words, the Decision section."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import Q
from django.urls import reverse

from workshop.core.models import Job, Shop
from workshop.core.templatetags.measures import day, money, short_day
from workshop.core.words import ClosedAs, JobKind
from workshop.parts.models import Part
from workshop.pricing import balances, costs, decide, rows
from workshop.pricing.decide import Known
from workshop.pricing.models import Decision, Ending
from workshop.pricing.rows import SumRow
from workshop.trade.money.price import NoPrice
from workshop.trade.money.ways import Outlook, Way, Weighed, best

PARTS_SHOWN = 12  # what this model usually takes is a handful; the drawer lists everything. House policy.


@dataclass(frozen=True, slots=True)
class WayRow:
    """One way in the table, and its sum."""

    label: str
    glyph: str
    state: str
    to_come: str
    brings: str
    risk: str
    leaves: str
    best: bool
    sum: list[SumRow]


@dataclass(frozen=True, slots=True)
class OnHand:
    """A part that machines of this model took before, and what the drawer holds of it."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class DecidePage:
    """Everything the page prints but its forms. `no_price` says why nothing can be weighed."""

    decision: list[tuple[str, str]]
    ways: list[WayRow]
    reasons: list[str]
    spent: str
    no_price: str
    on_hand: list[OnHand]
    came_back: bool
    yours_again: str  # of a return whose buyer cancelled
    closed: bool


def decide_page(job: Job, of: Known, outlook: Outlook | None) -> DecidePage:
    """Return the page's rows; nothing is weighed before anything was thought (no `outlook`), or once it ended."""
    closed = job.closed_at is not None
    ways, reasons, no_price = _weighed(of, outlook) if outlook and not closed else ([], [], "")
    return DecidePage(
        decision=decision_lines(of.decision, of.shop, shows_money=True, in_full=closed),
        ways=ways,
        reasons=reasons,
        spent=_spent(of),
        no_price=no_price,
        on_hand=on_hand(job),
        came_back=job.kind == JobKind.CAME_BACK,
        yours_again=balances.yours_again(job),
        closed=closed,
    )


def _weighed(of: Known, outlook: Outlook) -> tuple[list[WayRow], list[str], str]:
    try:
        ways = decide.weighed(of, outlook)
    except NoPrice as why:
        return [], [], str(why)
    most = best(ways.values())
    return [_row(way, each, each is most, of.shop) for way, each in ways.items()], _reasons(ways, most, of.shop), ""


def _row(way: Way, each: Weighed | None, is_best: bool, shop: Shop) -> WayRow:
    if each is None:
        return WayRow(way.label, "na", "not weighed", "", "not said yet", "", "", best=False, sum=[])
    hours = f"{rows.duration(each.minutes)}, " if each.minutes else ""
    spread = each.worst_minor != each.best_minor
    return WayRow(
        label=way.label,
        glyph="full" if is_best else "open",
        state="leaves most" if is_best else "",
        to_come=f"{hours}{money(each.to_spend_minor, shop)} to spend" if hours or each.to_spend_minor else "nothing",
        brings=f"brings {money(each.brings_minor, shop)}",
        risk=f"{money(each.worst_minor, shop)} to {money(each.best_minor, shop)}" if spread else "",
        leaves=money(each.net_minor, shop),
        best=is_best,
        sum=[SumRow(line.code, line.words, money(line.amount_minor, shop)) for line in each.lines]
        + [SumRow("NET", "Leaves", money(each.net_minor, shop), heavy=True)],
    )


def _reasons(ways: Mapping[Way, Weighed | None], most: Weighed | None, shop: Shop) -> list[str]:
    """Return why the best way is the best, in sentences with their numbers."""
    if most is None:
        return []
    others = [each for each in ways.values() if each is not None and each is not most]
    next_best = best(others)
    said = [f"{most.way.label} leaves most: {money(most.net_minor, shop)}."]
    if next_best is not None:
        more = money(most.net_minor - next_best.net_minor, shop)
        said = [f"{most.way.label} leaves {money(most.net_minor, shop)}: {more} more than “{next_best.way.label}”."]
    mend = ways[Way.MEND]
    if mend is not None and (earned := mend.per_hour_minor()) is not None:
        said.append(f"Mending leaves {money(earned, shop)} for each hour still to come.")
    if mend is not None and mend.worst_minor < 0:
        said.append(f"If it does not come right, mending loses another {money(-mend.worst_minor, shop)}.")
    if most.net_minor < 0:
        said.append("Every way ends below nothing: scrapping it costs least.")
    return said


def _spent(of: Known) -> str:
    cost = of.job_cost.cost
    spent = money(cost.total_minor - cost.reserve_minor, of.shop)
    gone = "It is left out, for it is gone whichever way is taken"
    return f"{spent} was spent already. {gone}. Rent is left out too: it falls due anyway."


def decision_lines(
    decision: Decision | None, shop: Shop, *, shows_money: bool, in_full: bool = False
) -> list[tuple[str, str]]:
    """Return the standing decision as label and words; without figures for a person who may not see them.

    `in_full`: with all that was thought then, for a job that ended has no form to show it.
    """
    if decision is None:
        return []
    lines = [
        ("Decided", f"{decision}, {day(decision.at)}, {decision.by}"),
        ("Because", decision.because),
        ("Thought", f"{rows.duration(decision.minutes)} still to come"),
    ]
    if shows_money and in_full:
        lines += _thought(decision, shop)
    if shows_money and decision.net_minor is not None:
        lines.append(("It was to leave", money(decision.net_minor, shop)))
    return lines


def _thought(decision: Decision, shop: Shop) -> list[tuple[str, str]]:
    """Return what was thought of a machine when it was decided; nothing of it is reckoned anew."""
    amounts = {
        "Parts still to come": decision.parts_minor,
        "Likely price": decision.price_minor,
        "Its parts were worth": decision.strip_minor,
        "It would fetch as it was": decision.pass_on_minor,
        "The seller would pay back": decision.give_back_minor,
    }
    lines = [(label, money(minor, shop)) for label, minor in amounts.items() if minor is not None]
    return [*lines, *([("Comes right", f"{decision.in_ten} times in 10")] if decision.in_ten is not None else [])]


def on_hand(job: Job) -> list[OnHand]:
    """Return what machines of this model took from the drawer before, with what it holds now. One query."""
    taken = Q(movements__job__machine__notes=job.machine.notes_id, movements__qty__lt=0)
    found = Part.objects.for_drawer().filter(taken, movements__came_out_undone__isnull=True).distinct()[:PARTS_SHOWN]
    held = [(part.name, getattr(part, "on_hand", None)) for part in found]  # annotated by for_drawer
    return [OnHand(name, f"{count} in the drawer" if count else "none left") for name, count in held]


# --- the Decision section --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class DecisionSection:
    """Decision on the Machine page: what was decided, why the question comes again, how the job ended."""

    lines: list[tuple[str, str]]
    again: str
    ended: str
    paper: str
    url: str


def decision_section(job: Job, again: str, *, shows_money: bool) -> DecisionSection:
    """Return the rows of Decision. `again`: why it must be decided again, read by the caller for the whole page."""
    shop = costs.the_shop()
    ending = Ending.objects.filter(job=job, withdrawn_at__isnull=True).select_related("by").first()
    name = job.machine.slug
    return DecisionSection(
        lines=decision_lines(decide.standing([job.pk]).get(job.pk), shop, shows_money=shows_money),
        again=again,
        ended=ended_words(job, ending),
        paper=reverse("pricing:ended", args=[name]) if ending and shows_money else "",
        url=reverse("pricing:decide", args=[name]),
    )


def ended_words(job: Job, ending: Ending | None) -> str:
    """Say how a job ended, in a sentence; nothing while it is open."""
    if job.closed_at is None:
        return ""
    how = ClosedAs(job.closed_as).label if job.closed_as else "Ended"
    why = f": {ending.words}" if ending and ending.words else ""
    return f"{how}, {short_day(job.closed_at)}{why}"
