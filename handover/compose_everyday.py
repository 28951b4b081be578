"""Milk, after each use, and what not to do: short lines, each whole, for the foot of the counter's page."""

from decimal import Decimal

from django.utils.translation import gettext as _

from handover import wording
from handover.blocks import BlockName
from handover.brewing import Brewing
from handover.sheet import join
from handover.wording import Words
from workshop.core.models import ModelNotes
from workshop.core.words import ControlUse, Kind
from workshop.trade.coffee import heat
from workshop.trade.coffee.sources import MILK_STOP_C, PURGE_S
from workshop.trade.safety.cautions import HEAVY_KG

# The jug of source V-08: 150 g from the fridge up to the stop.
MILK_G, FRIDGE_C = Decimal(150), Decimal(4)


def milk(brewing: Brewing, own: Words = wording.OURS) -> tuple[str, ...]:
    """Return how to steam; how long a jug takes only where the steam's power was measured."""
    notes = brewing.notes
    if not notes.has_steam or notes.kind == Kind.GRINDER:
        return ()
    tap = brewing.controls.get(ControlUse.STEAM)
    named = {"steam": tap.label.capitalize() if tap else _("Steam tap"), "jug": "".join(_jug(brewing))}
    return own.lines(BlockName.MILK, _milk(brewing), **named)


def _milk(brewing: Brewing) -> tuple[str, ...]:
    purge = {"time": join(PURGE_S.value, "s")}
    return (
        _open(brewing, purge),
        _("Tip just under the milk"),
        *_jug(brewing),
        _("Stop at %(heat)s: too hot to hold") % {"heat": join(MILK_STOP_C.value, "°C")},
        _("Wipe. Open again, %(time)s") % purge,
    )


def _open(brewing: Brewing, purge: dict[str, str]) -> str:
    tap = brewing.controls.get(ControlUse.STEAM)
    if tap is None:
        return _("Open it into a cloth, %(time)s") % purge
    return _("%(tap)s: %(time)s into a cloth") % (purge | {"tap": tap.label.capitalize()})


def _jug(brewing: Brewing) -> list[str]:
    net_w = brewing.measured.get("steam_power")
    if net_w is None or net_w <= 0:
        return []
    needed_kj = heat.warming_kj(MILK_G, FRIDGE_C, MILK_STOP_C.value)
    values = {"milk": join(MILK_G, "g"), "time": join(round(needed_kj * 1000 / net_w), "s")}
    return [_("%(milk)s takes about %(time)s") % values]


def after_use(brewing: Brewing, own: Words = wording.OURS) -> tuple[str, ...]:
    """Return what follows every coffee, the way back from steam first."""
    if brewing.notes.kind == Kind.GRINDER:
        return ()
    ours = (
        _("Knock out, rinse basket"),
        _("Wipe seal and screen"),
        _("Empty the tray"),
        _("Leave the handle loose"),
    )
    return (*_back(brewing), *own.lines(BlockName.AFTER_USE, ours))


def _back(brewing: Brewing) -> list[str]:
    recipe = brewing.recipe
    if recipe is None or not recipe.back_to_coffee:
        return []
    how = f"{recipe.back_to_coffee[0].lower()}{recipe.back_to_coffee[1:]}"
    if recipe.back_to_coffee_s is None:
        return [_("After milk: %(how)s") % {"how": how}]
    return [_("After milk: %(how)s (%(time)s)") % {"how": how, "time": join(recipe.back_to_coffee_s, "s")}]


def never(brewing: Brewing, own: Words = wording.OURS) -> tuple[str, ...]:
    """Return what not to do, beside the safety messages; a workshop adds to it and takes nothing away."""
    return (*_never(brewing.notes), *own.more(BlockName.NEVER))


def _never(notes: ModelNotes) -> tuple[str, ...]:
    """Return our own lines.

    Acid with bleach: source S-24. Detergent where no valve lets it out, and the rest: common practice, no source.
    """
    if notes.kind == Kind.GRINDER:
        return (_("Never put water or ready-ground coffee into the hopper."), _("Never wash the burrs."))
    lines = [
        _("Never mix descaler with bleach: the gas harms the lungs."),
        _("No dishwasher for handle and baskets."),
    ]
    if not notes.has_three_way_valve:
        lines.append(_("No detergent through the group."))
    if notes.mass_kg is not None and notes.mass_kg >= HEAVY_KG.value:
        lines.append(_("Never lift it with a full tank: it weighs %(mass)s.") % {"mass": join(notes.mass_kg, "kg")})
    return tuple(lines)
