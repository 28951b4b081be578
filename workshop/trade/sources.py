"""Where every figure comes from: each constant in `workshop.trade` carries one of these.

A source is declared once, beside the rooms that use it (`workshop/trade/<room>/sources.py`), as a
module-level `Source`. DEVELOPERS.md lists them all; a test holds that table equal to the code.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class Seen(StrEnum):
    """How a source was seen, from the firmest to the loosest."""

    READ = "read"
    SECOND_HAND = "second-hand"
    COMPUTED = "computed"
    COMMON_PRACTICE = "common practice, no source"
    MEMORY = "from memory"
    HOUSE = "house policy"


@dataclass(frozen=True, slots=True)
class Source:
    """One document, page, table or policy a figure rests on."""

    code: str  # short and unique, like "W-04": the first letter is the room
    title: str  # what it is, with edition or year
    where: str  # section, table or page
    seen: Seen


@dataclass(frozen=True, slots=True)
class Figure:
    """A number that the trade uses, with its unit and the source it rests on."""

    value: Decimal
    unit: str
    source: Source


COMMON_PRACTICE = Source("X-01", "Common practice in the trade", "no published source", Seen.COMMON_PRACTICE)
FROM_MEMORY = Source("X-02", "From memory", "not checked against a text", Seen.MEMORY)
HOUSE_POLICY = Source("X-03", "House policy of Second Pull", "DEVELOPERS.md, decisions", Seen.HOUSE)
