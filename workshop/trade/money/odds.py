"""Odds from own jobs: how often a thing happens on a model, and how long the work takes.

Few cases say little. A share on one model is drawn towards the other models of its kind, and the kind towards a
guess, each by a Beta belief (source M-25); minutes are drawn towards the kind by Z = n / (n + k) (source M-23).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from workshop.trade.money.comparables import TRUST, median, shrunk_minor
from workshop.trade.money.rounding import round_half_up
from workshop.trade.money.warranty import LEVEL, beta_quantile
from workshop.trade.sources import HOUSE_POLICY, Figure

# Before any job has ended: one machine in ten does not come right; a part is as likely wanted as not.
GUESS_NOT_MENDED = Figure(Decimal("0.10"), "of all machines", HOUSE_POLICY)
GUESS_PART = Figure(Decimal("0.50"), "of all machines", HOUSE_POLICY)
KIND_TRUST = Figure(TRUST.value, "jobs that the kind, or a guess, counts for", HOUSE_POLICY)
MOST_OF_THEM = Figure(Decimal("0.80"), "of the jobs", HOUSE_POLICY)
FEWEST_FOR_A_RATE = Figure(Decimal(30), "jobs that have ended", HOUSE_POLICY)


@dataclass(frozen=True, slots=True)
class Cases:
    """So many of so many jobs."""

    hits: int = 0
    of: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.hits <= self.of:
            raise ValueError("What happened lies between never and every time.")


@dataclass(frozen=True, slots=True)
class Belief:
    """A Beta belief about a share: as if it had happened `yes` times and not `no` times. Source M-25."""

    yes: Decimal
    no: Decimal

    def __post_init__(self) -> None:
        if self.yes <= 0 or self.no <= 0:
            raise ValueError("Both sides of a belief must be above zero.")

    @property
    def mean(self) -> Decimal:
        """The share to reckon with, a fraction."""
        return self.yes / (self.yes + self.no)

    def after(self, cases: Cases) -> "Belief":
        """Return the belief once these cases were seen."""
        return Belief(self.yes + cases.hits, self.no + cases.of - cases.hits)

    def interval(self, level: Decimal = LEVEL.value) -> tuple[Decimal, Decimal]:
        """Return the two ends, to six decimals, between which the share lies with this chance, tails equal."""
        if not 0 < level < 1:
            raise ValueError("The chance inside an interval lies between 0 and 1.")
        tail = float(1 - level) / 2
        low, high = (beta_quantile(float(self.yes), float(self.no), share) for share in (tail, 1 - tail))
        return round(Decimal(low), 6), round(Decimal(high), 6)


def weighing(mean: Decimal, weight: Decimal = KIND_TRUST.value) -> Belief:
    """Return a belief of this mean that counts for so many jobs; ValueError unless the mean is inside 0 and 1."""
    return Belief(mean * weight, (1 - mean) * weight)


def share(own: Cases, kind: Cases, guess: Decimal) -> Belief:
    """Return what to believe of a model: own cases on top of the kind's share, that on top of the guess.

    `kind` counts the other models of the kind only, or the own cases would count twice.
    """
    return weighing(weighing(guess).after(kind).mean).after(own)


@dataclass(frozen=True, slots=True)
class Minutes:
    """How long it takes, in whole minutes: half of the jobs take no longer than `half`, 8 in 10 than `most`."""

    half: int
    most: int


def minutes(own: Sequence[int], kind: Sequence[int]) -> Minutes | None:
    """Return the usual minutes of a model, drawn towards the kind's; None where neither has a case.

    Bench time is skewed, so no bell shape is assumed: both figures are the jobs' own. Drawing them towards the
    kind's is house policy.
    """
    if not (own or kind):
        return None
    half = _drawn(round_half_up(_middle(own)), round_half_up(_middle(kind)), own, kind)
    return Minutes(half, max(half, _drawn(at_most(own), at_most(kind), own, kind)))


def at_most(values: Sequence[int], part: Decimal = MOST_OF_THEM.value) -> int:
    """Return the smallest of the values that at least this part of them does not pass; 0 where there is none."""
    return sorted(values)[ceil(part * len(values)) - 1] if values else 0


def _middle(values: Sequence[int]) -> Decimal:
    return median([Decimal(value) for value in values]) if values else Decimal(0)


def _drawn(own_figure: int, kind_figure: int, own: Sequence[int], kind: Sequence[int]) -> int:
    if not own or not kind:
        return own_figure if own else kind_figure
    return shrunk_minor(own_figure, len(own), kind_figure, KIND_TRUST.value)
