"""Prepared rows of Most to pay: the boxes filled, the answer with its sums, machines looked at."""

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.urls import reverse

from workshop.core.forms import ANOTHER
from workshop.core.models import Shop
from workshop.core.templatetags.measures import money, number, short_day
from workshop.pricing.models import Sighting
from workshop.pricing.most_to_pay import Breakdown, Guess, work_out
from workshop.pricing.odds import Evidence, evidence
from workshop.pricing.odds_words import in_a_hundred
from workshop.pricing.rows import SumRow, duration
from workshop.pricing.sighting_forms import SightingForm
from workshop.trade.money import rounding
from workshop.trade.money.odds import FEWEST_ALONE, at_most

SHOWN = 200  # machines looked at on one page; older ones are in the record. House policy.


@dataclass(frozen=True, slots=True)
class AnswerRows:
    """The most to pay in words, and the sums behind it."""

    bid: str
    no_price: str
    notes: list[str]
    sums: list[tuple[str, list[SumRow]]]


@dataclass(frozen=True, slots=True)
class SightingRow:
    """One machine looked at, in the list."""

    name: str
    url: str
    asked: str
    most: str
    words: str
    seen: str


def fill(form: SightingForm, shop: Shop) -> Evidence | None:
    """Fill the form from the odds of the model chosen, and return them; None before a model or kind is chosen."""
    subject = form.subject
    if not subject:
        return None
    known = evidence(*form.about(subject))
    before = _told_boxes(evidence(*form.about(form.filled_before)), shop) if form.filled_before else {}
    form.fill(subject, _told_boxes(known, shop), before)
    return known


def odds_of(form: SightingForm) -> Evidence | None:
    """Return the odds of the model in the form."""
    return evidence(*form.about(form.subject)) if form.subject else None


def price_to_begin(row: Sighting) -> int | None:
    """Return what the buying form begins with: what they ask, or the most to pay where it is less or unknown."""
    amounts = [minor for minor in (row.asked_minor, row.bid_minor) if minor is not None]
    return min(amounts, default=None)


def _told_boxes(known: Evidence, shop: Shop) -> dict[str, str]:
    """Return what the odds put into each box, as it would be typed."""
    amounts = {
        "price_minor": known.price_minor,
        "parts_minor": known.parts_minor,
        "profit_minor": shop.profit_wanted_minor or None,
        "salvage_minor": known.salvage_minor,
    }
    boxes = {
        name: str(rounding.from_minor(minor, shop.currency)) for name, minor in amounts.items() if minor is not None
    }
    half = known.minutes.half if known.minutes else known.usual_minutes
    if half is not None:
        boxes |= {"hours": str(half // 60), "minutes": str(half % 60)}
    return {**boxes, "not_mended_percent": in_a_hundred(known.not_mended.mean)}


def tried(form: SightingForm, shop: Shop, on: date, known: Evidence | None) -> AnswerRows:
    """Return the answer for what was typed, without keeping it."""
    guess, answer = form.guess, work_out(form.guess, shop, on)
    asked = form.values["asked_minor"]
    notes = [*_asked(answer.bid_minor, asked, shop), *_if_longer(guess, shop, on, known)]
    return AnswerRows(_bid(answer.bid_minor, shop), answer.no_price, notes, _sums(answer.breakdown, guess, shop))


def kept(row: Sighting, shop: Shop) -> AnswerRows:
    """Return the answer of a sighting as it was kept, with the day it was worked out; nothing by other rates."""
    guess = Guess(**{name: getattr(row, name) for name in Guess.__dataclass_fields__})
    day = f"Worked out on {short_day(row.worked_out_at)}, by the rates and fees of that day."
    notes = [*_asked(row.bid_minor, row.asked_minor, shop), day]
    return AnswerRows(_bid(row.bid_minor, shop), row.no_price, notes, _sums(row.breakdown, guess, shop))


def _bid(bid_minor: int | None, shop: Shop) -> str:
    return money(bid_minor, shop)


def _asked(bid_minor: int | None, asked_minor: int | None, shop: Shop) -> list[str]:
    if bid_minor is None or asked_minor is None:
        return []
    over = asked_minor - bid_minor
    if over > 0:
        return [f"They ask {money(asked_minor, shop)}: {money(over, shop)} too much."]
    return [f"They ask {money(asked_minor, shop)}: that leaves {money(-over, shop)} to spare."]


def _if_longer(guess: Guess, shop: Shop, on: date, known: Evidence | None) -> list[str]:
    """Say the answer for a job as long as 8 in 10 of the model are at most, where own jobs can tell."""
    own = known.own_minutes if known else []
    if len(own) < FEWEST_ALONE.value or at_most(own) <= guess.minutes:
        return []
    longer = work_out(replace(guess, minutes=at_most(own)), shop, on)
    most = money(longer.bid_minor, shop) if longer.bid_minor is not None else "nothing, not even a gift"
    return [f"If the work takes {duration(at_most(own))}, as 8 in 10 jobs do at most: {most}."]


def _sums(breakdown: Breakdown, guess: Guess, shop: Shop) -> list[tuple[str, list[SumRow]]]:
    failed = guess.not_mended_percent
    titles = {
        "mended": "If it is mended" if failed else "The machine, mended and sold",
        "not_mended": f"If it cannot be mended, {number(failed)} times in 100",
        "together": "Together",
    }
    found = []
    for name, title in titles.items():
        lines = [
            SumRow(code, words, money(minor, shop), heavy=code == "LEAVES") for code, words, minor in breakdown[name]
        ]
        if name == "together" and lines:
            bid = sum(minor for _, _, minor in breakdown[name])
            lines.append(SumRow("BID", "The most to pay", money(bid, shop), heavy=True))
        if lines:
            found.append((title, lines))
    return found


def sightings(shop: Shop) -> tuple[list[SightingRow], list[SightingRow]]:
    """Return machines looked at, newest first: those still to decide on, and those bought or dropped. One query."""
    rows = Sighting.objects.select_related("notes", "job__machine").order_by("-at", "-pk")[:SHOWN]
    open_ones: list[SightingRow] = []
    ended: list[SightingRow] = []
    for row in rows:
        (ended if row.job_id or row.dropped_at else open_ones).append(_row(row, shop))
    return open_ones, ended


def _row(row: Sighting, shop: Shop) -> SightingRow:
    words = f"bought: {row.job.machine}" if row.job else row.dropped_because
    return SightingRow(
        name=str(row),
        url=reverse("pricing:sighting", args=[row.pk]),
        asked=f"asks {money(row.asked_minor, shop)}" if row.asked_minor is not None else "",
        most=_bid(row.bid_minor, shop) or "not even as a gift",
        words=words,
        seen=short_day(row.at),
    )


def boxes(row: Sighting) -> dict[str, Any]:
    """Return what was typed for a sighting, as the form's first values."""
    same = (
        "maker",
        "model",
        "kind",
        "price_minor",
        "parts_minor",
        "profit_minor",
        "not_mended_percent",
        "salvage_minor",
    )
    more = ("asked_minor", "seller_name", "seller_phone", "said", "version")
    subject = str(row.notes_id) if row.notes_id else row.kind
    return {
        **{name: getattr(row, name) for name in (*same, *more)},
        "notes": row.notes_id or ANOTHER,
        "hours": row.minutes // 60,
        "minutes": row.minutes % 60,
        "filled_for": subject,
    }


def first_boxes(shop: Shop) -> dict[str, Any]:
    """Return the first values of an empty page: the profit the workshop wants."""
    return {"profit_minor": shop.profit_wanted_minor or None}
