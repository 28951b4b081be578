"""Odds from own jobs: how often a thing happens on a model, and how long the work takes.

Few cases say little. A share on one model is drawn towards the other models of its kind, and the kind towards a
guess, each by a Beta belief (source M-25). Minutes of three own jobs or more speak for themselves; fewer are drawn
towards the kind by Z = n / (n + k) (source M-23), where k is never more than the jobs the kind has.
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
FEWEST_ALONE = Figure(Decimal(3), "own jobs whose minutes lean on nobody", HOUSE_POLICY)
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
    """How long to reckon with, in whole minutes: `half` for a usual job, `most` as 8 in 10 take no longer.

    `leans_on` counts the jobs of other models that had a say in it.
    """

    half: int
    most: int
    leans_on: int = 0


def minutes(own: Sequence[int], kind: Sequence[int]) -> Minutes | None:
    """Return the minutes to reckon with for a model; None where neither it nor its kind has a case.

    Bench time is skewed, so no bell shape is assumed: the figures are those of the jobs. From three own jobs on they
    are the model's alone; drawing fewer towards the kind's is house policy.
    """
    if len(own) >= FEWEST_ALONE.value or (own and not kind):
        return Minutes(middle(own), at_most(own))
    if not kind:
        return None
    half = _drawn(middle(own), len(own), middle(kind), len(kind))
    most = _drawn(at_most(own), len(own), at_most(kind), len(kind))
    return Minutes(half, max(half, most), len(kind))


def middle(values: Sequence[int]) -> int:
    """Return the middle of the values in whole minutes, half way between the two middle ones; 0 where there is none."""
    return round_half_up(median([Decimal(value) for value in values])) if values else 0


def at_most(values: Sequence[int], part: Decimal = MOST_OF_THEM.value) -> int:
    """Return the smallest of the values that at least this part of them does not pass; 0 where there is none."""
    return sorted(values)[ceil(part * len(values)) - 1] if values else 0


def _drawn(own_figure: int, own_count: int, kind_figure: int, kind_count: int) -> int:
    """Return the own figure drawn towards the kind's, which never counts for more jobs than it has."""
    return shrunk_minor(own_figure, own_count, kind_figure, min(KIND_TRUST.value, Decimal(kind_count)))
