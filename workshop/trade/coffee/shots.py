"""A shot as pulled and the target it is pulled for: grams, seconds, and the mark the grinder stood at."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Shot:
    """One test extraction. A choked shot has a yield of nothing: kept, but it teaches no time.

    `pressurised`: a dual-wall basket, whose one small exit sets the time whatever the grind. `spoilt`: known
    to be no test of the setting (first after a change, spilled, puck broken). `bag` tells one coffee from
    another, `day` counts days on any calendar. ValueError below nothing.
    """

    setting: Decimal
    dose_g: Decimal
    yield_g: Decimal
    time_s: Decimal
    spoilt: bool = False
    pressurised: bool = False
    bag: int = 0
    day: int = 0

    def __post_init__(self) -> None:
        if not all(measure >= 0 for measure in (self.dose_g, self.yield_g, self.time_s)):
            raise ValueError("Dose, yield and time of a shot cannot be less than nothing.")

    @property
    def usable(self) -> bool:
        """Whether its time says something of the grind."""
        measured = self.dose_g > 0 and self.yield_g > 0 and self.time_s > 0
        return measured and not (self.spoilt or self.pressurised)


@dataclass(frozen=True, slots=True)
class Target:
    """The aim: a window of seconds (both ends inside), dose and yield. ValueError if empty."""

    time_low_s: Decimal
    time_high_s: Decimal
    dose_g: Decimal
    yield_g: Decimal

    def __post_init__(self) -> None:
        if not 0 < self.time_low_s < self.time_high_s:
            raise ValueError("The target time runs from a shorter to a longer number of seconds.")
        if not (self.dose_g > 0 and self.yield_g > 0):
            raise ValueError("Target dose and yield must be more than nothing.")


def usable_shots(shots: Iterable[Shot]) -> tuple[Shot, ...]:
    """The shots a fit may rest on, in the order pulled."""
    return tuple(shot for shot in shots if shot.usable)
