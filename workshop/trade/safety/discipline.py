"""The discipline of the bench: second looks, spot-checks, the tempo of answers, and which items earn their place.

Every figure is house policy (DEVELOPERS.md, decisions): no source was found that gives one for a workshop.
"""

import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal

from workshop.trade.sources import HOUSE_POLICY, Figure

SECOND_LOOK_AFTER = Figure(Decimal(60), "s before the same person may look a second time", HOUSE_POLICY)
SPOT_CHECK_ONE_IN = Figure(Decimal(10), "units, one of which is drawn", HOUSE_POLICY)
SPOT_CHECK_READINGS = Figure(Decimal(2), "readings repeated on a drawn unit", HOUSE_POLICY)
HURRIED_ANSWERS = Figure(Decimal(3), "answers on one card", HOUSE_POLICY)
HURRIED_WITHIN = Figure(Decimal(6), "s from the first of them to the last", HOUSE_POLICY)
BACK_TO_BACK = Figure(Decimal(60), "s between two runs of fast answers that are asked about as one", HOUSE_POLICY)
SOONEST_HOT = Figure(Decimal(30), "min between first power and what is read hot; sooner is asked about", HOUSE_POLICY)
SOONEST_SECOND_CYCLE = Figure(Decimal(60), "min between two heat cycles; sooner is asked about", HOUSE_POLICY)
UNITS_BEFORE_REMOVAL = Figure(Decimal(50), "units asked with neither catch nor miss", HOUSE_POLICY)

# Words of work on the mains side. House policy: too many words cost a second look, too few cost a person.
MAINS_WORDS = re.compile(
    r"\b(mains|element|heater|(re)?wir(e|es|ed|ing)|terminal|cord|plug|fuse|switch(es)?|"
    r"electronic|circuit|control|pcb|relay|triac|thermostat|pressurestat|cut-?out|earth)s?\b",
    re.IGNORECASE,
)


def mains_side(words: str) -> bool:
    """Say whether words of work, or of why a case was opened, tell of the mains side."""
    return MAINS_WORDS.search(words) is not None


def hurried(times: Sequence[datetime]) -> list[tuple[int, int]]:
    """Return the runs of answers given too fast to have been looked at, as places of the first and the last.

    `times`: of one person's answers on one card, rising. Runs that overlap are one.
    """
    few, within = int(HURRIED_ANSWERS.value), timedelta(seconds=int(HURRIED_WITHIN.value))
    runs: list[tuple[int, int]] = []
    for first in range(len(times) - few + 1):
        last = first + few - 1
        if times[last] - times[first] > within:
            continue
        if runs and runs[-1][1] >= first:
            runs[-1] = (runs[-1][0], last)
        else:
            runs.append((first, last))
    return runs


def offered_for_removal(*, stop: bool, asked: int, catches: int, misses: int) -> bool:
    """Say whether an item has shown nothing for so long that it may go; a stop item never may."""
    return not stop and asked >= UNITS_BEFORE_REMOVAL.value and not catches and not misses
