"""The published axes a mark is looked at on: ISO 4628-1 names three, each from 0 to 5.

They are for reading: no figure of the score comes from here.
"""

from dataclasses import dataclass

from workshop.trade.condition import sources
from workshop.trade.sources import Source

# K-01, read: three axes, each 0 to 5, 0 is none, 5 is so strong that telling further apart is not reasonable; half
# steps are allowed. The words of the classes between are K-07, from memory.
SCALE = sources.ISO_4628
CLASSES = sources.ISO_4628_CLASSES


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: its published name, the words of classes 1 to 5, and what this rule asks instead."""

    name: str
    classes: tuple[str, str, str, str, str]
    here: str
    source: Source = CLASSES


AXES = (
    Axis(
        "Quantity",
        ("very few", "few", "moderate", "considerable", "dense"),
        "Every mark is a line of its own; the lines are added up.",
    ),
    Axis(
        "Size",
        ("seen only at 10 times", "just visible, to 0.2 mm", "0.2 to 0.5 mm", "0.5 to 5 mm", "over 5 mm"),
        "Millimetres as measured: the length of a scratch, the area of a stain.",
    ),
    Axis(
        "Intensity",
        ("very slight", "slight", "moderate", "considerable", "very marked"),
        "How it shows: seen only close up, seen at arm's length, felt with a finger.",
    ),
)
