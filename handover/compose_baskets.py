"""Which basket is for which coffee, hot water with its scald line, long drinks."""

from django.utils.translation import gettext as _

from handover.brewing import Brewing
from handover.sheet import Row, join
from workshop.core.models import Control, ModelNotes
from workshop.core.words import ControlUse, Kind

# Words of the trade for a basket with one small way out; the model notes may use any of them.
_TWO_WALL = ("two-wall", "two wall", "double-wall", "dual-wall", "pressuri", "ready-ground")


def rows(brewing: Brewing) -> tuple[Row, ...]:
    """Return the baskets of the model notes, then hot water and the long drink where there is a tap."""
    notes = brewing.notes
    found = [Row(label, words or _usual(label)) for label, words in _lines(notes)]
    water = brewing.controls.get(ControlUse.HOT_WATER)
    if water is not None and notes.has_hot_water and notes.kind != Kind.GRINDER:
        found += [
            Row(water.label.capitalize(), _tap_words(brewing, water)),
            Row(_("Long"), _("water, coffee on top")),
        ]
    return tuple(found)


def two_wall(notes: ModelNotes) -> str:
    """Return the label of the basket for ready-ground coffee; nothing where the notes list none."""
    for label, words in _lines(notes):
        if any(known in f"{label} {words}".lower() for known in _TWO_WALL):
            return label
    return ""


def _lines(notes: ModelNotes) -> list[tuple[str, str]]:
    parted = [line.partition("|") for line in notes.baskets.splitlines()]
    return [(label.strip(), words.strip()) for label, _bar, words in parted if label.strip()]


def _usual(label: str) -> str:
    """What a basket without words is for, where its name says so."""
    name = label.lower()
    if any(known in name for known in _TWO_WALL):
        return _("ready-ground coffee")
    return _("cleaning only") if "blind" in name else ""


def _tap_words(brewing: Brewing, water: Control) -> str:
    place = "" if _says(water.label, water.place) else water.place
    heat = brewing.measured.get("hot_water")
    values = {"place": place, "heat": join(round(heat), "°C") if heat is not None else ""}
    if place and heat is not None:
        return _("%(place)s. Water of %(heat)s: scalds") % values
    if place:
        return _("%(place)s. Hot water: scalds") % values
    return _("water of %(heat)s: scalds") % values if heat is not None else _("hot water: scalds")


def _says(label: str, place: str) -> bool:
    """Whether the label says the place already: a left tap need not be told to be at the left."""
    return any(word in place.lower() for word in label.lower().split())
