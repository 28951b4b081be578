"""What earlier units of a model teach about the next one: where to start, how far off that may be, how steep it is.

Each earlier unit, read under the house's belief, says how likely every guess of slope, noise and bend is. The
belief about the next unit is the mean of what they say and of the house's own, which counts as a few units: the
first step of the usual fit of a hierarchy (source C-20), closed form, and a unit that shows little says little.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from math import sqrt
from statistics import fmean

from workshop.trade.coffee.fitting import fit
from workshop.trade.coffee.priors import Prior, prior_for
from workshop.trade.coffee.shots import Shot, Target
from workshop.trade.coffee.sources import EARLIER_TRUST
from workshop.trade.scales import Scale, fineness, travel

TRUST = float(EARLIER_TRUST.value)


@dataclass(frozen=True, slots=True)
class EarlierUnit:
    """One earlier unit of the model: its shots in the order pulled, and the setting it was left at."""

    left: Decimal
    shots: tuple[Shot, ...]


@dataclass(frozen=True, slots=True)
class Start:
    """Where to begin: a mark, how far off it may be (units of the scale), and the marks earlier units were left at."""

    setting: Decimal
    spread: float
    left_low: Decimal
    left_high: Decimal
    units: int


def start_from(units: Sequence[EarlierUnit], scale: Scale) -> Start | None:
    """The mark to begin at on the next unit: the mean of where earlier ones were left; None without any."""
    if not units:
        return None
    along = sorted((unit.left for unit in units), key=lambda left: travel(scale, left))
    places = [travel(scale, left) for left in along]
    middle = sum(places, Decimal(0)) / len(places)
    place = int(middle / scale.step + Decimal("0.5"))
    spread = _reach([float(each - middle) for each in places], scale, own_mean=True)
    return Start(scale.mark(min(place, scale.marks - 1)), spread, along[0], along[-1], len(units))


def prior_from(units: Sequence[EarlierUnit], target: Target, scale: Scale) -> Prior:
    """The belief about the next unit of a model; without earlier units, the house's.

    The target is looked for near where earlier units were left, or near where the first shot is pulled: whichever
    has proved the surer guide.
    """
    house = prior_for(scale)
    if not units:
        return house
    places = [float(fineness(scale, unit.left)) for unit in units]
    middle = fmean(places)
    by_model = _reach([place - middle for place in places], scale, own_mean=True)
    moved = [place - float(fineness(scale, unit.shots[0].setting)) for place, unit in zip(places, units, strict=True)]
    by_first = _reach(moved, scale, own_mean=False)
    slopes, noises, wanders = zip(*(_shown(unit.shots, target, scale) for unit in units), strict=True)
    return replace(
        house,
        slopes=tuple(zip(_mean_chances(house.slopes, slopes), (each for _, each in house.slopes), strict=True)),
        noises=tuple(zip(_mean_chances(house.noises, noises), (each for _, each in house.noises), strict=True)),
        wanders=tuple(zip(_mean_chances(house.wanders, wanders), (each for _, each in house.wanders), strict=True)),
        centre=middle if by_model < by_first else None,
        reach=min(by_model, by_first),
    )


def _reach(off: Sequence[float], scale: Scale, *, own_mean: bool) -> float:
    """How far the next one may be off, leaning on the house's reach; a mean of their own is itself in doubt."""
    house, spent = prior_for(scale).reach, int(own_mean)
    squares = TRUST * house**2 + sum(each**2 for each in off)
    return sqrt(squares / (TRUST + len(off) - spent) * (1 + spent / len(off)))


def _mean_chances(house: Sequence[tuple[float, object]], shown: Sequence[tuple[float, ...]]) -> list[float]:
    units = TRUST + len(shown)
    return [(TRUST * chance + sum(unit[at] for unit in shown)) / units for at, (chance, _) in enumerate(house)]


@lru_cache(maxsize=1024)  # a unit's shots rarely change, and every page of its model asks again
def _shown(shots: tuple[Shot, ...], target: Target, scale: Scale) -> tuple[tuple[float, ...], ...]:
    """How likely one unit makes each slope, noise and bend of the house's guesses."""
    house, guesses = prior_for(scale), fit(shots, target, scale).guesses
    return (
        tuple(sum(g.weight for g in guesses if g.slope == each) for _, each in house.slopes),
        tuple(sum(g.weight for g in guesses if g.noise_sd_ln == each) for _, each in house.noises),
        tuple(sum(g.weight for g in guesses if g.bend == each) for _, each in house.wanders),
    )
