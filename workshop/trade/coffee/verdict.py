"""Fast, inside or slow; whether two shots agree; and which pair a recipe may rest on.

Sources: agreement within 3.0 s C-01; dose within 0.5 g C-05; yield within a tenth, common practice; time in
proportion to yield C-02 (flow = beverage / time at every dial).
"""

from collections.abc import Sequence
from decimal import Decimal
from enum import StrEnum

from workshop.trade.coffee.shots import Shot, Target
from workshop.trade.coffee.sources import DOSE_AGREEMENT_G, PAIR_AGREEMENT_S, YIELD_BAND_SHARE


class Verdict(StrEnum):
    """Where a time lies against the target time; both ends of the target are inside."""

    FAST = "fast"
    INSIDE = "inside"
    SLOW = "slow"


class WhyNot(StrEnum):
    """Why the last shots are no recipe yet, in the order to mend them."""

    TOO_FEW_SHOTS = "too few shots"
    SETTING_MOVED = "setting moved"
    OUTSIDE_TIME = "outside target time"
    DO_NOT_AGREE = "do not agree"
    OUTSIDE_YIELD = "outside yield band"
    DOSES_DIFFER = "doses differ"


def verdict(time_s: Decimal, target: Target) -> Verdict:
    """The time as pulled against the target time."""
    if time_s < target.time_low_s:
        return Verdict.FAST
    return Verdict.SLOW if time_s > target.time_high_s else Verdict.INSIDE


def time_at_yield_s(time_s: Decimal, yield_g: Decimal, target_yield_g: Decimal) -> Decimal:
    """The seconds the shot would have taken to the target yield, in proportion. ValueError for no yield."""
    if not yield_g > 0:
        raise ValueError("Nothing reached the cup, so the time at another yield is not known.")
    return time_s * target_yield_g / yield_g


def verdict_at_yield(time_s: Decimal, yield_g: Decimal, target: Target) -> Verdict:
    """The verdict the shot would have had at the target yield. ValueError for no yield."""
    return verdict(time_at_yield_s(time_s, yield_g, target.yield_g), target)


def agree(a_s: Decimal, b_s: Decimal) -> bool:
    """Whether two times count as the same shot: no more than 3.0 s apart (source C-01)."""
    return abs(a_s - b_s) <= PAIR_AGREEMENT_S.value


def recipe_pair(
    shots: Sequence[Shot],
    target: Target,
    yield_low_g: Decimal | None = None,
    yield_high_g: Decimal | None = None,
) -> tuple[Shot, Shot] | None:
    """The latest two shots in a row, at one setting, that a recipe may rest on; None when there are none.

    Shots come in the order pulled. Left-out shots between the two do no harm if the grinder stayed where it
    was. A later usable shot at that setting outside the target time undoes the pair.
    The yield band is the target yield give or take a tenth, unless both of its ends are given.
    """
    places = pair_places(shots, target, yield_low_g, yield_high_g)
    return None if places is None else (shots[places[0]], shots[places[1]])


def pair_places(
    shots: Sequence[Shot],
    target: Target,
    yield_low_g: Decimal | None = None,
    yield_high_g: Decimal | None = None,
) -> tuple[int, int] | None:
    """Where in the sequence the two shots of `recipe_pair` stand."""
    band = _band(target, yield_low_g, yield_high_g)
    undone: set[Decimal] = set()
    places = [place for place, shot in enumerate(shots) if shot.usable]
    for first, second in zip(reversed(places[:-1]), reversed(places[1:]), strict=True):
        latest = shots[second]
        if verdict(latest.time_s, target) is not Verdict.INSIDE:
            undone.add(latest.setting)
        if latest.setting not in undone and not _faults(shots[first : second + 1], target, band):
            return first, second
    return None


def why_not(
    shots: Sequence[Shot],
    target: Target,
    yield_low_g: Decimal | None = None,
    yield_high_g: Decimal | None = None,
) -> tuple[WhyNot, ...]:
    """What keeps the last two usable shots from being the recipe; empty when some pair already is."""
    if pair_places(shots, target, yield_low_g, yield_high_g) is not None:
        return ()
    places = [place for place, shot in enumerate(shots) if shot.usable]
    if len(places) < 2:
        return (WhyNot.TOO_FEW_SHOTS,)
    return _faults(shots[places[-2] : places[-1] + 1], target, _band(target, yield_low_g, yield_high_g))


def _band(target: Target, low_g: Decimal | None, high_g: Decimal | None) -> tuple[Decimal, Decimal]:
    either_side = target.yield_g * YIELD_BAND_SHARE.value
    low = target.yield_g - either_side if low_g is None else low_g
    high = target.yield_g + either_side if high_g is None else high_g
    if not low <= high:
        raise ValueError("The yield band runs from fewer grams to more.")
    return low, high


def _faults(stretch: Sequence[Shot], target: Target, band: tuple[Decimal, Decimal]) -> tuple[WhyNot, ...]:
    """What is wrong with the first and last shot of a stretch as a pair; those between were left out."""
    pair = (stretch[0], stretch[-1])
    faults = {
        WhyNot.SETTING_MOVED: len({shot.setting for shot in stretch}) > 1,
        WhyNot.OUTSIDE_TIME: any(verdict(shot.time_s, target) is not Verdict.INSIDE for shot in pair),
        WhyNot.DO_NOT_AGREE: not agree(pair[0].time_s, pair[1].time_s),
        WhyNot.OUTSIDE_YIELD: not all(band[0] <= shot.yield_g <= band[1] for shot in pair),
        WhyNot.DOSES_DIFFER: abs(pair[0].dose_g - pair[1].dose_g) > DOSE_AGREEMENT_G.value,
    }
    return tuple(fault for fault, found in faults.items() if found)
