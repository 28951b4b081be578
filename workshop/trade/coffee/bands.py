"""Bands of the proving cards that are no electrical limit: pressure, brewing water, water let through, warm-up.

Both ends belong to a band. Each carries the figures it rests on; none of them is a limit in law.
"""

from dataclasses import dataclass
from decimal import Decimal

from workshop.trade.coffee import sources
from workshop.trade.sources import COMMON_PRACTICE, Figure, Source


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
    """Millilitres through the empty group in 10 s: at least 70 % of what this model usually gives.

    Common practice, no source. ValueError for a usual of nothing.
    """
    if not usual_ml > 0:
        raise ValueError("What the model usually gives must be more than nothing.")
    low = (usual_ml * sources.DEBIT_SHARE.value).quantize(Decimal("0.1"))
    return Band(low, None, "ml", (COMMON_PRACTICE,))


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
