"""The workshop's own limits beside those of the place: adding and tightening are free, loosening is said aloud."""

from dataclasses import dataclass
from decimal import Decimal

from workshop.trade.sources import HOUSE_POLICY, Figure

# A reason that says something: three words, or one or two long ones. Either is enough.
REASON_WORDS = Figure(Decimal(3), "words at least", HOUSE_POLICY)
REASON_LETTERS = Figure(Decimal(12), "letters at least", HOUSE_POLICY)

Ends = tuple[Decimal | None, Decimal | None]  # low and high, both inclusive; None where that side is open


@dataclass(frozen=True, slots=True)
class OwnLimit:
    """One limit the workshop set: either end, or both. `reason` says why it may be looser than the place's."""

    low: Decimal | None
    high: Decimal | None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Combined:
    """What counts for one machine, and how our own limit changed it."""

    low: Decimal | None
    high: Decimal | None
    tightened: bool = False
    loosened: bool = False


def loosens(base: Ends, own: OwnLimit) -> bool:
    """Whether our own limit lets a reading pass that the base limit would not. An open base cannot be loosened."""
    return _lower(base[0], own.low) or _higher(base[1], own.high)


def says_why(reason: str) -> bool:
    """Whether a reason says something: "x" does not. A word has two letters or more."""
    words = [word for word in reason.split() if sum(map(str.isalpha, word)) > 1]
    return len(words) >= REASON_WORDS.value or sum(map(str.isalpha, reason)) >= REASON_LETTERS.value


def combine(base: Ends, own: OwnLimit) -> Combined:
    """The limit that counts, end by end: the stricter one; the looser own one only where it has a reason."""
    given = bool(own.reason.strip())
    low = own.low if own.low is not None and (given or not _lower(base[0], own.low)) else base[0]
    high = own.high if own.high is not None and (given or not _higher(base[1], own.high)) else base[1]
    loosened = given and loosens(base, own)
    tightened = (low, high) != base and not loosened
    return Combined(low, high, tightened=tightened, loosened=loosened)


def _lower(base: Decimal | None, own: Decimal | None) -> bool:
    return base is not None and own is not None and own < base


def _higher(base: Decimal | None, own: Decimal | None) -> bool:
    return base is not None and own is not None and own > base
