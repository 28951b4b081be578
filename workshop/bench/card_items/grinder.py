"""The grinder, built in or alone: how it sounds and whether it repeats its dose."""

from dataclasses import replace

from workshop.bench.card_items.shared import seen
from workshop.bench.cards import Item, Unit
from workshop.core.words import InstrumentKind, Kind

DOSES = 5


def grinder_items(unit: Unit) -> tuple[Item, ...]:
    """A grinder alone is proved by these in the short set too: it has no shots."""
    if not unit.has_grinder:
        return ()
    built_in = unit.kind != Kind.GRINDER
    return tuple(replace(item, full_only=built_in, grinder_sensitive=True) for item in (_noise(), _doses()))


def _noise() -> Item:
    return seen(
        "grinder_noise",
        "Sound of the grinder",
        "Empty first, then with beans. Listen for scraping, knocking and a motor that labours.",
        "even, no scraping",
        "rough, scrapes or labours",
        needs_mains=True,
        why="A stone between the burrs or a dry bearing is heard before it stops the motor.",
    )


def _doses() -> Item:
    return Item(
        "dose_repeat",
        "Five doses, weighed",
        "One setting, one dose length. Purge one dose, then weigh five.",
        unit="g",
        needs_mains=True,
        instrument=InstrumentKind.SCALE,
        draws=tuple(f"Dose {at}" for at in range(1, DOSES + 1)),
        why="Worn burrs or a slipping clutch give another dose each time.",
    )
