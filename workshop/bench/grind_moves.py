"""Where the burrs stood through a job, and since when they stand where they stand now."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from workshop.bench.dialin import DialIn
from workshop.bench.models import BurrChange, ButtonTrial, DoseTrial


@dataclass(frozen=True, slots=True)
class Grind:
    """Every moment the burrs' setting was said, in order; `opened_at`: when the grinder was last opened."""

    said: tuple[tuple[datetime, str], ...]
    opened_at: datetime | None = None

    @property
    def now(self) -> str:
        """Return where the burrs stand now, in the grinder's words; empty before anything was ground."""
        return self.said[-1][1] if self.said else ""

    def moved_since(self, at: datetime, words: str) -> str:
        """Return where the grinder was moved to after `at`, when it was set to `words`; empty where it never was."""
        later = (said for when, said in self.said if when > at and not same(said, words))
        return next(later, "")

    def opened_since(self, at: datetime) -> bool:
        """Say whether the grinder was opened after `at`: its marks meant something else then."""
        return self.opened_at is not None and at <= self.opened_at


def same(one: str, other: str) -> bool:
    """Say whether two settings in words are one."""
    return one.lower() == other.lower()


def grind_of(
    dial_in: DialIn, doses: Iterable[DoseTrial], buttons: Iterable[ButtonTrial], burrs: BurrChange | None
) -> Grind:
    """Return the burrs' history from shots, dose trials and runs of a button with coffee."""
    opened_at = burrs.at if burrs else None
    said = [(row.at, row.setting_words) for row in dial_in.rows]
    said += [(row.at, row.grind_words) for row in doses]
    said += [(row.at, row.grind_words) for row in buttons if row.grind_words]
    kept = [each for each in said if opened_at is None or each[0] > opened_at]
    return Grind(tuple(sorted(kept, key=lambda each: each[0])), opened_at)
