"""The buyer's right to cancel a sale agreed at a distance: how long, from when, what follows; place by place."""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum

from workshop.trade.care.spans import add_months
from workshop.trade.rights import sources
from workshop.trade.rights.places import key_of
from workshop.trade.sources import Figure, Source

_SATURDAY, _WEEK = 5, 7


class Right(StrEnum):
    """Whether the place gives a right to cancel a sale at a distance."""

    GIVEN = "GIVEN"
    NONE = "NONE"  # none for a sale the buyer asked for
    UNKNOWN = "UNKNOWN"  # no rule was read: ask local advice


class RefundFrom(StrEnum):
    """What the days of giving the money back are counted from."""

    TOLD = "TOLD"  # the buyer's word
    GOODS = "GOODS"  # the goods, or the proof that they were sent


@dataclass(frozen=True, slots=True)
class CancelRule:
    """The rule of one place. `rule` tells the workshop; `called` is the place's word for such a sale.

    Days count from the day after delivery. `untold_months` are added while the buyer was not told of the right.
    """

    place: str
    right: Right
    called: str
    rule: str
    source: Source
    days: Figure | None = None
    untold_months: Figure | None = None
    send_back_days: Figure | None = None
    refund_days: Figure | None = None
    refund_from: RefundFrom = RefundFrom.TOLD
    weekend_moves: Source | None = None  # set: a last day on Saturday or Sunday moves to Monday
    model_form: bool = False


GB = CancelRule(
    "GB",
    Right.GIVEN,
    "distance contract",
    "United Kingdom: a buyer who agreed at a distance may cancel until 14 days after the machine arrived. "
    "Until they have this paper the time runs 12 months longer.",
    sources.GB_CANCEL,
    days=Figure(Decimal(14), "days", sources.GB_CANCEL),
    untold_months=Figure(Decimal(12), "months", sources.GB_CANCEL),
    send_back_days=Figure(Decimal(14), "days", sources.GB_GIVE_BACK),
    refund_days=Figure(Decimal(14), "days", sources.GB_GIVE_BACK),
    refund_from=RefundFrom.GOODS,
    model_form=True,
)
EU = CancelRule(
    "EU",
    Right.GIVEN,
    "distance contract",
    "European Union: a buyer who agreed at a distance may withdraw until 14 days after the machine arrived; a last day "
    "on a weekend or public holiday moves on. Until they have this paper the time runs 12 months longer. "
    "Your country's law may ask for its own form of words: check it.",
    sources.EU_CANCEL,
    days=Figure(Decimal(14), "days", sources.EU_CANCEL),
    untold_months=Figure(Decimal(12), "months", sources.EU_GIVE_BACK),
    send_back_days=Figure(Decimal(14), "days", sources.EU_GIVE_BACK),
    refund_days=Figure(Decimal(14), "days", sources.EU_GIVE_BACK),
    weekend_moves=sources.EU_PERIODS,
    model_form=True,
)
NZ = CancelRule(
    "NZ",
    Right.NONE,
    "sale by phone or on the web",
    "New Zealand: no right to cancel a sale the buyer asked for. One you offered uninvited, by phone or at their "
    "door, may be cancelled within 5 working days.",
    sources.NZ_UNINVITED,
)
AU = CancelRule(
    "AU",
    Right.NONE,
    "sale by phone or on the web",
    "Australia: no general right to cancel a sale the buyer asked for; an unsolicited one has its own rules.",
    sources.AU_UNSOLICITED,
)
US = CancelRule(
    "US",
    Right.NONE,
    "sale by phone or on the web",
    "United States: no general right to cancel at a distance; sales at the door have 3 days. Ask about your state.",
    sources.US_DOORSTEP,
)
ELSEWHERE = CancelRule(
    "",
    Right.UNKNOWN,
    "sale at a distance",
    "No rule was read for this place. Ask local advice before you sell at a distance.",
    sources.CANCEL_UNSEEN,
)

_BY_PLACE = {rule.place: rule for rule in (GB, EU, NZ, AU, US, ELSEWHERE)}


def rule_for(place_code: str) -> CancelRule:
    """Return the rule of a place by its ISO 3166 code."""
    return _BY_PLACE[key_of(place_code, frozenset(_BY_PLACE))]


def cancel_by(rule: CancelRule, delivered_on: date, told_on: date | None) -> date | None:
    """Return the last day a buyer may cancel on; None where the place gives no right, or none that was read.

    `told_on`: the day they had the paper; one given late counts from its own day, but never beyond the untold end.
    Public holidays are not known here: where they move the day, it ends later than this says.
    """
    if rule.days is None or rule.untold_months is None:
        return None
    days = timedelta(days=int(rule.days.value))
    untold = add_months(delivered_on + days, int(rule.untold_months.value))
    last = untold if told_on is None else min(untold, max(delivered_on, told_on) + days)
    return _next_working(last) if rule.weekend_moves else last


def _next_working(day: date) -> date:
    return day + timedelta(days=_WEEK - day.weekday()) if day.weekday() >= _SATURDAY else day
