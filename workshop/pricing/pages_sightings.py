"""Prepared rows of Most to pay: what own jobs say, the answer with its sums, machines looked at."""

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.urls import reverse

from workshop.core.models import Shop
from workshop.core.templatetags.measures import money, number, short_day
from workshop.pricing.models import Sighting
from workshop.pricing.most_to_pay import Breakdown, Guess, work_out
from workshop.pricing.odds import CASES_SHOWN, Evidence, Past, evidence
from workshop.pricing.rows import SumRow, duration
from workshop.pricing.sighting_forms import SightingForm
from workshop.trade.money import rounding
from workshop.trade.money.odds import FEWEST_FOR_A_RATE, Cases

SHOWN = 200  # machines looked at on one page; older ones are in the record. House policy.


@dataclass(frozen=True, slots=True)
class Told:
    """What own jobs say of a model: one sentence on how much that is worth, then lines and the newest cases."""

    worth: str
    lines: list[tuple[str, str]]
    cases: list[tuple[str, str, str]]


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
    return {**boxes, "not_mended_percent": _in_a_hundred(known.not_mended.mean)}


def _in_a_hundred(share: Any) -> str:
    return str(rounding.round_half_up(share * 100))


def told(known: Evidence, shop: Shop) -> Told:
    """Return what own jobs say, in sentences that say how few they are."""
    lines = [("Work", _work_words(known))]
    lines += [(part.name, f"{_times(part.own)}; reckoned {money(part.expected_minor, shop)}") for part in known.parts]
    cases = [_case(past, shop) for past in known.sold[:CASES_SHOWN]]
    return Told(_worth(known), lines, cases)


def hints(known: Evidence, shop: Shop) -> dict[str, str]:
    """Return what own jobs say under the boxes of price and chance; no typed word is in it."""
    return {"price_minor": _sold_words(known, shop), "not_mended_percent": _failed_words(known)}


def _worth(known: Evidence) -> str:
    own, kind = len(known.own), len(known.kind)
    if not own and not kind:
        return "No past cases: the sum uses your own guesses."
    if not own:
        return f"No past cases of this model. {_jobs(kind)} of its kind stand in for it."
    few = " Under 30, a share is a hint and no rate." if own < FEWEST_FOR_A_RATE.value else ""
    more = f", {kind} more of its kind" if kind else ""
    return f"{_jobs(own)} of this model{more}.{few}"


def _jobs(count: int) -> str:
    return "1 past job" if count == 1 else f"{count} past jobs"


def _sold_words(known: Evidence, shop: Shop) -> str:
    fetched = known.fetched
    if fetched is None:
        return "None sold yet: the price is your own guess."
    low, high = money(fetched.low_minor, shop), money(fetched.high_minor, shop)
    if fetched.count == 1:
        return f"Sold for {low}, once: too few to tell a spread."
    if fetched.interval is None:
        return f"Two sold, for {low} and {high}: too few to tell more than the range."
    inner = f"{money(fetched.interval.low_minor, shop)} to {money(fetched.interval.high_minor, shop)}"
    sure = _in_a_hundred(fetched.interval.chance)
    middle = money(fetched.median_minor, shop)
    seen = f"{fetched.count} sold, {low} to {high}, half of them above {middle}"
    return f"{seen}; the true middle lies in {inner}, {sure} times in 100."


def _work_words(known: Evidence) -> str:
    if known.minutes and known.timed == 1:
        return f"{duration(known.minutes.half)}, once: too few to tell a spread."
    if known.minutes:
        half, most = duration(known.minutes.half), duration(known.minutes.most)
        return f"Half of the jobs take up to {half}, 8 in 10 up to {most}."
    if known.usual_minutes is not None:
        return f"{duration(known.usual_minutes)}, as the model notes say; no job has ended yet."
    return "No job has ended yet: the time is your own guess."


def _times(cases: Cases) -> str:
    return f"{cases.hits} of {_jobs(cases.of)}" if cases.of else "other models of the kind wanted it"


def _failed_words(known: Evidence) -> str:
    low, high = known.not_mended.interval()
    share = _in_a_hundred(known.not_mended.mean)
    span = f"about 8 times in 10 between {_in_a_hundred(low)} and {_in_a_hundred(high)}"
    if not known.own and not known.kind:
        return f"Reckoned {share} in 100, the house's own guess."
    seen = f"{_times(known.not_mended_cases)} of this model" if known.own else "None of this model yet; by its kind"
    return f"{seen}: reckoned {share} in 100, {span}."


def _case(past: Past, shop: Shop) -> tuple[str, str, str]:
    words = f"sold for {money(past.sold_minor, shop)}, {short_day(past.ended_at)}, {duration(past.minutes)} of work"
    return past.name, past.url, words


def tried(form: SightingForm, shop: Shop, on: date, known: Evidence | None) -> AnswerRows:
    """Return the answer for what was typed, without keeping it."""
    guess, answer = form.guess, work_out(form.guess, shop, on)
    asked = form.values["asked_minor"]
    notes = [*_asked(answer.bid_minor, asked, shop), *_if_longer(guess, shop, on, known)]
    return AnswerRows(_bid(answer.bid_minor, shop), answer.no_price, notes, _sums(answer.breakdown, guess, shop))


def kept(row: Sighting, shop: Shop, on: date, known: Evidence | None) -> AnswerRows:
    """Return the answer of a sighting as it was kept, with the day it was worked out."""
    guess = Guess(**{name: getattr(row, name) for name in Guess.__dataclass_fields__})
    day = f"Worked out on {short_day(row.worked_out_at)}, by the rates and fees of that day."
    notes = [*_asked(row.bid_minor, row.asked_minor, shop), *_if_longer(guess, shop, on, known), day]
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
    """Say the answer for a job as long as 8 in 10 are at most."""
    if known is None or known.minutes is None or known.minutes.most <= guess.minutes:
        return []
    longer = work_out(replace(guess, minutes=known.minutes.most), shop, on)
    most = money(longer.bid_minor, shop) if longer.bid_minor is not None else "nothing, not even a gift"
    return [f"If the work takes {duration(known.minutes.most)}, as 8 in 10 jobs do at most: {most}."]


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
        "notes": row.notes_id or "ANOTHER",
        "hours": row.minutes // 60,
        "minutes": row.minutes % 60,
        "filled_for": subject,
    }


def first_boxes(shop: Shop, notes: str) -> dict[str, Any]:
    """Return the first values of an empty page."""
    return {"notes": notes, "profit_minor": shop.profit_wanted_minor or None}
