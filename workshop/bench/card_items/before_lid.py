"""Before the lid goes on: cut-outs and safety valves, plate, plug, fuse."""

from decimal import Decimal

from workshop.bench.card_items.shared import seen
from workshop.bench.cards import Item, Unit
from workshop.core.templatetags.measures import measure
from workshop.trade.safety.electrical import (
    fuse_rating_a,
)

WHY_PARTS = "A bridged cut-out lets a boiler heat until it bursts or burns."


def before_lid_items(unit: Unit) -> tuple[Item, ...]:
    parts = [
        seen(
            part.code,
            f"{part.name}, {part.rating}" if part.rating else part.name,
            "Put a finger on it. Read its rating. Follow both wires: nothing bridges it.",
            "right, present, not bridged",
            "wrong, missing or bridged",
            stop=True,
            opens_case=True,
            mains_side=True,
            why=WHY_PARTS,
        )
        for part in unit.parts
    ]
    return (*(parts or [_all_parts()]), *_plate(unit))


def _all_parts() -> Item:
    return seen(
        "safety_parts",
        "Cut-outs and safety valves",
        "The model notes list none. Find every one, touch it, read its rating, then add it to the notes.",
        "right, all present, none bridged",
        "wrong, missing or bridged",
        stop=True,
        opens_case=True,
        mains_side=True,
        why=WHY_PARTS,
    )


def _plate(unit: Unit) -> tuple[Item, ...]:
    volts = f"We have {unit.volts} V. " if unit.volts else ""
    plate = seen(
        "plate_volts",
        "Plate volts for this place",
        f"{volts}Read the plate on the machine itself.",
        "right for this place",
        "wrong for this place",
        stop=True,
        why="A machine for other volts burns out, or never gets hot.",
    )
    plug = seen(
        "plug_fits",
        "Plug and fuse for this place",
        f"{_fuse_words(unit)}The plug is the one used here, not an adapter.",
        "right, both fit",
        "wrong, do not fit",
        stop=True,
        why="An adapter or too big a fuse lets a cord glow before anything trips.",
    )
    return plate, plug


def _fuse_words(unit: Unit) -> str:
    if not (unit.place_has_fused_plugs and unit.watts):
        return ""
    try:
        return f"{measure(unit.watts, 'W')} wants a {fuse_rating_a(Decimal(unit.watts))} A fuse. "
    except ValueError:
        return "Too strong for a fused plug here: ask a licensed electrician. "
