"""What a taught button delivers, run after run (source C-07: within 1 to 2 g with coffee)."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from workshop.trade.coffee.sources import BUTTON_REPEAT_G


class ButtonVerdict(StrEnum):
    """How a button does: too few runs to say, uneven, under or over what was taught, or holding."""

    TOO_FEW_RUNS = "too few runs"
    UNEVEN = "uneven"
    UNDER = "under"
    OVER = "over"
    HOLDS = "holds"


@dataclass(frozen=True, slots=True)
class ButtonResult:
    """Mean delivered grams (what the sheet prints), the spread from least to most, and the verdict."""

    mean_g: Decimal
    spread_g: Decimal
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
    spread_g = max(delivered_g) - min(delivered_g)
    return ButtonResult(mean_g, spread_g, _verdict(len(delivered_g), farthest_g, mean_g, target_g, tolerance_g))


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
