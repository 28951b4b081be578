"""Bands of the proving cards that are no electrical limit: pressure, water, steam, doses, spouts, warm-up.

Both ends belong to a band. Each carries the figures it rests on; none of them is a limit in law.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from workshop.trade.coffee import sources
from workshop.trade.coffee.series import apart_share, farthest_from_mean
from workshop.trade.sources import COMMON_PRACTICE, HOUSE_POLICY, Figure, Source


@dataclass(frozen=True, slots=True)
class Band:
    """A low and a high end, either of them open (None), and where they come from."""

    low: Decimal | None
    high: Decimal | None
    unit: str
    sources: tuple[Source, ...]

    @property
    def source_words(self) -> str:
        """Codes and titles of the sources, for the record."""
        return "; ".join(f"{source.code} {source.title}" for source in dict.fromkeys(self.sources))

    def holds(self, value: Decimal, *, sign: str = "") -> bool:
        """Whether a reading lies inside; beyond the meter's range ("<", ">") only one side is ever shown."""
        above = self.low is None or (sign != "<" and value >= self.low)
        below = self.high is None or (sign != ">" and value <= self.high)
        return above and below


def blind_pressure(*, rotary: bool) -> Band:
    """Pressure at the group against a blind basket, in bar (C-12, C-13)."""
    if rotary:
        return _between(sources.ROTARY_LOW_BAR, sources.ROTARY_HIGH_BAR)
    return _between(sources.BLIND_LOW_BAR, sources.BLIND_HIGH_BAR)


def brewing_water() -> Band:
    """Temperature of the brewing water at the group, in °C: the widest published band (C-14, C-15)."""
    return _between(sources.BREW_LOW_C, sources.BREW_HIGH_C)


def spread_is_usual(lowest_c: Decimal, highest_c: Decimal) -> bool:
    """Whether five shots' temperatures lie within 5 °C of each other (C-16)."""
    return highest_c - lowest_c <= sources.BREW_SPREAD_C.value


def water_let_through(usual_ml: Decimal) -> Band:
    """Millilitres through the empty group in 10 s: at least 70 % of what this model usually gives, to a whole one.

    Common practice, no source. ValueError for a usual of nothing.
    """
    if not usual_ml > 0:
        raise ValueError("What the model usually gives must be more than nothing.")
    low = (usual_ml * sources.DEBIT_SHARE.value).quantize(Decimal(1), ROUND_HALF_UP)
    return Band(low, None, "ml", (COMMON_PRACTICE,))


def in_shot_pressure() -> Band:
    """Pressure in a shot once it has settled, in bar (C-22)."""
    return _between(sources.IN_SHOT_LOW_BAR, sources.IN_SHOT_HIGH_BAR)


def hot_water() -> Band:
    """Temperature at the hot water tap, in °C. Common practice, no source."""
    return Band(sources.HOT_WATER_LOW_C.value, None, "°C", (COMMON_PRACTICE,))


def drip_stop() -> Band:
    """Seconds until the group stops dripping once the three-way valve let go. Common practice, no source."""
    return Band(None, sources.DRIP_STOP_S.value, "s", (COMMON_PRACTICE,))


def steam_power(rated_w: Decimal) -> Band:
    """Net watts of steam into the jug: at least half of what the boiler is rated at. House policy.

    No upper end: a boiler steams from stored heat too. ValueError for a rating of nothing.
    """
    if not rated_w > 0:
        raise ValueError("The boiler's watts must be more than nothing.")
    return Band(Decimal(round(rated_w * sources.STEAM_SHARE.value)), None, "W", (HOUSE_POLICY,))


def doses_agree(doses_g: Sequence[Decimal]) -> bool:
    """Whether each dose lies within 0.5 g of their mean. Common practice, no source."""
    return farthest_from_mean(doses_g) <= sources.DOSE_REPEAT_G.value


def spouts_agree(left_g: Decimal, right_g: Decimal) -> bool:
    """Whether two cups of one shot differ by at most 10 % of their mean. Common practice, no source."""
    return apart_share(left_g, right_g) <= sources.SPOUT_SHARE.value


def warm_up_min(kind: str) -> tuple[Decimal, Decimal] | None:
    """Usual minutes to ready by kind of machine (C-17); None where none is published, a lever for one.

    Kinds are SINGLE_BOILER, HEAT_EXCHANGER, DUAL_BOILER, THERMOBLOCK. To compare with, never to print as measured.
    """
    two = (sources.WARM_UP_TWO_LOW_MIN, sources.WARM_UP_TWO_HIGH_MIN)
    usual = {
        "THERMOBLOCK": (sources.WARM_UP_BLOCK_LOW_MIN, sources.WARM_UP_BLOCK_HIGH_MIN),
        "SINGLE_BOILER": (sources.WARM_UP_SINGLE_LOW_MIN, sources.WARM_UP_SINGLE_HIGH_MIN),
        "HEAT_EXCHANGER": two,
        "DUAL_BOILER": two,
    }
    found = usual.get(kind)
    return (found[0].value, found[1].value) if found else None


def _between(low: Figure, high: Figure) -> Band:
    return Band(low.value, high.value, low.unit, (low.source, high.source))
