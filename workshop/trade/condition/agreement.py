"""How far two people agree who scored the same machines, the second without seeing the first one's marks.

House policy (K-06): half a point apart still counts as the same, and nothing is said under thirty machines.
"""

from collections.abc import Collection
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from workshop.trade.condition import sources
from workshop.trade.sources import Figure

WITHIN = Figure(Decimal("0.5"), "points", sources.AGREEMENT)
ENOUGH = Figure(Decimal(30), "machines", sources.AGREEMENT)
_STEP = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Pair:
    """Two scores of one machine, each from 0 to 10: the workshop's, and the one made blind."""

    first: Decimal
    blind: Decimal

    @property
    def difference(self) -> Decimal:
        """Points by which the blind score lies above the first (below: less than zero)."""
        return self.blind - self.first


@dataclass(frozen=True, slots=True)
class Agreement:
    """How many machines have both scores, the share of them within half a point, and the mean difference."""

    machines: int
    share_within: Decimal  # 0 to 1, two decimals
    mean_difference: Decimal  # points, blind less first, two decimals


def agreement(pairs: Collection[Pair]) -> Agreement | None:
    """Return how far both scores agree; None while there are too few machines to say."""
    if len(pairs) < ENOUGH.value:
        return None
    within = sum(1 for pair in pairs if abs(pair.difference) <= WITHIN.value)
    mean = sum((pair.difference for pair in pairs), Decimal(0)) / len(pairs)
    return Agreement(len(pairs), _rounded(Decimal(within) / len(pairs)), _rounded(mean))


def _rounded(value: Decimal) -> Decimal:
    return value.quantize(_STEP, ROUND_HALF_UP) + 0  # the sum turns a minus nought into nought
