"""How fast hot water burns and how hot steam is under pressure: rows as sourced, nothing between them."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from workshop.trade.safety import sources
from workshop.trade.sources import Source


class Harm(StrEnum):
    """How deep a burn is meant."""

    SEVERE = "severe"
    SECOND_DEGREE = "second_degree"
    THIRD_DEGREE = "third_degree"

    @property
    def label(self) -> str:
        """Plain words for the screen."""
        return {
            Harm.SEVERE: "severe burn",
            Harm.SECOND_DEGREE: "second-degree burn",
            Harm.THIRD_DEGREE: "third-degree burn",
        }[self]


@dataclass(frozen=True, slots=True)
class BurnRow:
    """Seconds of contact with water at `temp_c` that burn an adult; children burn faster.

    `sign` keeps the chart's own "under" (<) and "over" (>); `to_seconds` is set where it gives a range.
    """

    temp_c: Decimal
    harm: Harm
    seconds: Decimal
    sign: str
    to_seconds: Decimal | None
    source: Source


def _chart(temp_c: str, seconds: str, sign: str = "", to_seconds: str | None = None) -> BurnRow:
    upper = None if to_seconds is None else Decimal(to_seconds)
    return BurnRow(Decimal(temp_c), Harm.SEVERE, Decimal(seconds), sign, upper, sources.BURN_CHART)


def _degrees(temp_c: str, second: str, third: str) -> tuple[BurnRow, BurnRow]:
    temp, source = Decimal(temp_c), sources.BURN_DEGREES
    return (
        BurnRow(temp, Harm.SECOND_DEGREE, Decimal(second), "", None, source),
        BurnRow(temp, Harm.THIRD_DEGREE, Decimal(third), "", None, source),
    )


BURN_ROWS: tuple[BurnRow, ...] = (
    _chart("49", "300", ">"),
    _chart("52", "90", to_seconds="120"),
    _chart("54", "30"),
    _chart("57", "10"),
    _chart("60", "5", "<"),
    _chart("63", "3", "<"),
    _chart("66", "1.5"),
    _chart("68", "1"),
    *_degrees("45", "7200", "10800"),
    *_degrees("47", "1200", "2700"),
    *_degrees("48", "900", "1200"),
    *_degrees("49", "480", "600"),
    *_degrees("51", "120", "252"),
    *_degrees("55", "17", "30"),
    *_degrees("60", "3", "5"),
)


def burn_row(temp_c: Decimal, harm: Harm) -> BurnRow | None:
    """The hottest sourced row at or under this temperature: real water this hot burns at least as fast.

    None under the coolest row. Never a value between rows.
    """
    fitting = [row for row in BURN_ROWS if row.harm is harm and row.temp_c <= temp_c]
    return max(fitting, key=lambda row: row.temp_c, default=None)


@dataclass(frozen=True, slots=True)
class SteamRow:
    """Temperature of water and steam in a boiler at a gauge pressure."""

    pressure_bar: Decimal
    temp_c: Decimal
    source: Source


STEAM_ROWS: tuple[SteamRow, ...] = tuple(
    SteamRow(Decimal(bar), Decimal(temp), sources.SATURATED_STEAM)
    for bar, temp in (("1.0", "120"), ("1.2", "123"), ("1.5", "128"), ("2.0", "134"))
)
