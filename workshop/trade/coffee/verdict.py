"""Fast, inside or slow; whether two shots agree; and which pair a recipe may rest on.

Sources: agreement within 3.0 s C-01; dose within 0.5 g C-05; yield within a tenth, common practice; time in
proportion to yield C-02 (flow = beverage / time at every dial).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
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
    NO_TEST = "spoilt, choked or of two walls"
    LEFT_BETWEEN = "a shot between was not chosen"
    UNDONE = "a later shot at that setting fell outside"


@dataclass(frozen=True, slots=True)
class Fault:
    """One reason why a run of shots is no recipe, and where in the sequence the shots at fault stand."""

    why: WhyNot
    places: tuple[int, ...] = ()


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
        if latest.setting not in undone and not _faults(shots, (first, second), target, band):
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
    band = _band(target, yield_low_g, yield_high_g)
    return tuple(fault.why for fault in _faults(shots, (places[-2], places[-1]), target, band))


def run_faults(shots: Sequence[Shot], chosen: Iterable[int], target: Target) -> tuple[Fault, ...]:
    """What keeps chosen shots, two or more in a row, from being the recipe; empty when nothing does.

    `chosen`: their places in the sequence of all shots in the order pulled. Shots that are no test may lie between
    them, if the grinder stayed where it was. The yield band is the target yield give or take a tenth.
    """
    run = tuple(sorted(set(chosen)))
    if len(run) < 2:
        return (Fault(WhyNot.TOO_FEW_SHOTS, run),)
    if no_test := tuple(place for place in run if not shots[place].usable):
        return (Fault(WhyNot.NO_TEST, no_test),)
    faults = [*_faults(shots, run, target, _band(target, None, None))]
    between = (place for place in range(run[0], run[-1]) if place not in run and shots[place].usable)
    if left_between := tuple(between):
        faults.insert(0, Fault(WhyNot.LEFT_BETWEEN, left_between))
    if undone := _undone(shots, run[-1], target):
        faults.append(Fault(WhyNot.UNDONE, undone))
    return tuple(faults)


def _undone(shots: Sequence[Shot], last: int, target: Target) -> tuple[int, ...]:
    """Later usable shots at the setting of the last one that fell outside the target time."""
    later = ((place, shots[place]) for place in range(last + 1, len(shots)))
    same = ((place, shot) for place, shot in later if shot.usable and shot.setting == shots[last].setting)
    return tuple(place for place, shot in same if verdict(shot.time_s, target) is not Verdict.INSIDE)


def _band(target: Target, low_g: Decimal | None, high_g: Decimal | None) -> tuple[Decimal, Decimal]:
    either_side = target.yield_g * YIELD_BAND_SHARE.value
    low = target.yield_g - either_side if low_g is None else low_g
    high = target.yield_g + either_side if high_g is None else high_g
    if not low <= high:
        raise ValueError("The yield band runs from fewer grams to more.")
    return low, high


def _faults(
    shots: Sequence[Shot], run: tuple[int, ...], target: Target, band: tuple[Decimal, Decimal]
) -> tuple[Fault, ...]:
    """What is wrong with usable shots as one run; those between were left out, but must not have moved the grinder."""
    stretch = range(run[0], run[-1] + 1)
    slowest_first = sorted(run, key=lambda place: -shots[place].time_s)
    heaviest_first = sorted(run, key=lambda place: -shots[place].dose_g)
    slow, fast = slowest_first[0], slowest_first[-1]
    heavy, light = heaviest_first[0], heaviest_first[-1]
    apart = not agree(shots[slow].time_s, shots[fast].time_s)
    unlike = shots[heavy].dose_g - shots[light].dose_g > DOSE_AGREEMENT_G.value
    found = {
        WhyNot.SETTING_MOVED: [place for place in stretch if shots[place].setting != shots[run[0]].setting],
        WhyNot.OUTSIDE_TIME: [p for p in run if verdict(shots[p].time_s, target) is not Verdict.INSIDE],
        WhyNot.DO_NOT_AGREE: sorted((slow, fast)) if apart else [],
        WhyNot.OUTSIDE_YIELD: [place for place in run if not band[0] <= shots[place].yield_g <= band[1]],
        WhyNot.DOSES_DIFFER: sorted((heavy, light)) if unlike else [],
    }
    return tuple(Fault(why, tuple(places)) for why, places in found.items() if places)
