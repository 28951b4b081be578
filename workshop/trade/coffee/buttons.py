"""What a taught button delivers, run after run (source C-07: within 1 to 2 g with coffee, water up to 12 g apart)."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from statistics import stdev

from workshop.trade.coffee.sources import BUTTON_REPEAT_G, BUTTON_WATER_APART_G


class ButtonVerdict(StrEnum):
    """How a button does: too few runs to say, uneven, under or over what was taught, or holding."""

    TOO_FEW_RUNS = "too few runs"
    UNEVEN = "uneven"
    UNDER = "under"
    OVER = "over"
    HOLDS = "holds"


@dataclass(frozen=True, slots=True)
class ButtonResult:
    """Mean delivered grams (what the sheet prints), least, most, their spread and standard deviation, the verdict.

    `sd_g` is the sample's (n - 1), None for a single run.
    """

    mean_g: Decimal
    low_g: Decimal
    high_g: Decimal
    spread_g: Decimal
    sd_g: Decimal | None
    verdict: ButtonVerdict


def button_result(
    delivered_g: Sequence[Decimal],
    target_g: Decimal | None = None,
    tolerance_g: Decimal = BUTTON_REPEAT_G.value,
) -> ButtonResult:
    """Judge the runs of one button: every run within the tolerance of their mean, the mean of the target.

    Without a target only evenness is judged. ValueError for no runs or grams below nothing.
    """
    if not delivered_g or not all(grams >= 0 for grams in delivered_g):
        raise ValueError("Write the grams of at least one run, none of them below nothing.")
    mean_g = sum(delivered_g, Decimal(0)) / len(delivered_g)
    farthest_g = max(abs(grams - mean_g) for grams in delivered_g)
    low_g, high_g = min(delivered_g), max(delivered_g)
    sd_g = stdev(delivered_g) if len(delivered_g) > 1 else None
    said = _verdict(len(delivered_g), farthest_g, mean_g, target_g, tolerance_g)
    return ButtonResult(mean_g, low_g, high_g, high_g - low_g, sd_g, said)


def tolerance_g(*, coffee: bool) -> Decimal:
    """How far a run may lie from the mean of its button: with coffee 2 g, with water half of 12 g apart (C-07)."""
    return BUTTON_REPEAT_G.value if coffee else BUTTON_WATER_APART_G.value / 2


def _verdict(
    runs: int, farthest_g: Decimal, mean_g: Decimal, target_g: Decimal | None, tolerance_g: Decimal
) -> ButtonVerdict:
    if runs < 2:
        return ButtonVerdict.TOO_FEW_RUNS
    if farthest_g > tolerance_g:
        return ButtonVerdict.UNEVEN
    off_g = Decimal(0) if target_g is None else mean_g - target_g
    if abs(off_g) <= tolerance_g:
        return ButtonVerdict.HOLDS
    return ButtonVerdict.UNDER if off_g < 0 else ButtonVerdict.OVER
