"""The wait the law may demand after buying second-hand: place by place, only where the rule was read."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from workshop.trade.safety import sources
from workshop.trade.sources import Figure, Source

NSW_DAYS = Figure(Decimal("14"), "days", sources.HOLD_NSW)
VIC_DAYS = Figure(Decimal("7"), "days", sources.HOLD_VIC)
NZ_DAYS = Figure(Decimal("14"), "days", sources.HOLD_NZ)
NZ_WORKING_DAYS = Figure(Decimal("10"), "working days", sources.HOLD_NZ)

_SATURDAY = 5


@dataclass(frozen=True, slots=True)
class HoldRule:
    """The hold of one machine. `until` is the first day on which it may be sold, None without a hold.

    `blocks_work`: the goods must stay as they were received, so no opening, descaling or stripping either.
    """

    days: int
    until: date | None
    blocks_work: bool
    words: str
    source: Source


def _after_working_days(start: date, count: int, holidays: Collection[date]) -> date:
    day, left = start, count
    while left:
        day += timedelta(days=1)
        if day.weekday() < _SATURDAY and day not in holidays:
            left -= 1
    return day


def _nsw(acquired_on: date) -> HoldRule:
    days = int(NSW_DAYS.value)
    words = "New South Wales: hold for at least 14 days before sale. Check the current rule of Fair Trading."
    return HoldRule(days, acquired_on + timedelta(days=days), False, words, sources.HOLD_NSW)


def _vic(acquired_on: date) -> HoldRule:
    days = int(VIC_DAYS.value)
    words = (
        "Victoria: keep it for 7 days in the form received. "
        "Some goods are exempt: check the current rule of Consumer Affairs."
    )
    return HoldRule(days, acquired_on + timedelta(days=days), True, words, sources.HOLD_VIC)


def _nz(acquired_on: date, holidays: Collection[date]) -> HoldRule:
    by_ministry = acquired_on + timedelta(days=int(NZ_DAYS.value))
    by_act = _after_working_days(acquired_on, int(NZ_WORKING_DAYS.value), holidays)
    until = max(by_ministry, by_act)
    words = (
        "New Zealand: keep it unaltered for 14 days. The Act says 10 working days, "
        "which ends later when a public holiday falls inside: the later date counts."
    )
    return HoldRule((until - acquired_on).days, until, True, words, sources.HOLD_NZ)


def hold_until(place_code: str, acquired_on: date, *, holidays: Collection[date] = ()) -> HoldRule:
    """The hold of a place: ISO 3166-2 ("AU-NSW", "AU-VIC"), ISO 3166-1 ("NZ", "GB"), or "NSW", "VIC".

    `holidays`: public holidays to leave out when New Zealand's working days are counted. A place whose rule
    was not read gives no hold and says so: other places have holds too, and only the local law can tell.
    """
    code = place_code.strip().upper().removeprefix("AU-")
    if code == "NSW":
        return _nsw(acquired_on)
    if code == "VIC":
        return _vic(acquired_on)
    if code == "NZ":
        return _nz(acquired_on, holidays)
    words = "No hold is known to us for this place. Your local dealer law decides: ask before you rely on it."
    return HoldRule(0, None, False, words, sources.HOLD_UNSEEN)
