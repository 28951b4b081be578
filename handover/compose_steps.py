"""The six steps to the first coffee, in whole sentences: this machine's controls, its recipe, the buyer's kitchen.

Stars stand round what is printed heavy. What was not proved on this machine leaves its sentence out.
"""

from decimal import Decimal

from django.utils.translation import gettext as _

from handover import compose_baskets
from handover.brewing import Brewing, hour, runs
from handover.retold import retold
from handover.sheet import NBSP, Step, join, plain
from handover.words import BuyerHas
from workshop.bench.models import Recipe
from workshop.bench.words import TimedFrom, WhoseGrinder
from workshop.core.words import ControlUse, Kind, Pump
from workshop.trade.coffee.sources import RELEASE_WAIT_S
from workshop.trade.scales import ScaleKind


def steps(brewing: Brewing) -> tuple[Step, ...]:
    """Return the six steps; of a grinder alone its first use; nothing while there is no recipe."""
    if brewing.notes.kind == Kind.GRINDER:
        return _grinder_alone(brewing)
    recipe = brewing.recipe
    if recipe is None:
        return ()
    each = (
        _fill(brewing),
        _warm(brewing, recipe),
        _rinse(recipe),
        _dose(brewing, recipe),
        _lock(brewing, recipe),
        _pour(brewing, recipe),
    )
    return tuple(Step(runs(*sentences)) for sentences in each)


def _fill(brewing: Brewing) -> list[str]:
    return [_("*Fill* the tank with cold water. Plug in."), _switch_on(brewing)]


def _switch_on(brewing: Brewing) -> str:
    control = brewing.controls.get(ControlUse.POWER)
    if control is None:
        return _("Switch on.")
    if not control.place:
        return _("Switch on: %(control)s.") % {"control": control.label}
    return _("Switch on: %(control)s, %(place)s.") % {"control": control.label, "place": control.place}


def _warm(brewing: Brewing, recipe: Recipe) -> list[str]:
    low, high, sign = recipe.ready_low_min, recipe.ready_high_min, brewing.notes.ready_sign
    values = {"low": plain(low or Decimal(0)), "high": join(high or low or 0, _("min")), "sign": sign}
    if low is None:
        if sign:
            return [_("*Warm up*, empty handle (portafilter) in, until %(sign)s.") % values]
        return [_("*Warm up* with the empty handle (portafilter) locked in.")]
    if high in (None, low):
        if sign:
            return [_("*Warm up %(high)s*, empty handle (portafilter) in, until %(sign)s.") % values]
        return [_("*Warm up %(high)s*, empty handle (portafilter) in.") % values]
    if sign:
        return [_("*Warm up %(low)s to %(high)s*, empty handle (portafilter) in, until %(sign)s.") % values]
    return [_("*Warm up %(low)s to %(high)s*, empty handle (portafilter) in.") % values]


def _rinse(recipe: Recipe) -> list[str]:
    dry = _("Take the handle out. Dry it and the basket.")
    count = recipe.blank_shots or 1
    if count == 1:
        return [_("*Rinse.* Run a cup of water through, no coffee in."), dry]
    return [_("*Rinse.* Run %(count)s cups of water through, no coffee in.") % {"count": count}, dry]


# --- the dose --------------------------------------------------------------------------------------------


def _dose(brewing: Brewing, recipe: Recipe) -> list[str]:
    if brewing.kitchen.ready_ground:
        return [*_ready_ground(brewing, recipe), _tamp(recipe)]
    if recipe.built_in_grinder:
        return [*_built_in(brewing, recipe), _tamp(recipe), *_by_eye(brewing, recipe)]
    return [*_ground_elsewhere(brewing, recipe), _tamp(recipe), *_by_eye(brewing, recipe)]


def _ready_ground(brewing: Brewing, recipe: Recipe) -> list[str]:
    basket = compose_baskets.two_wall(brewing.notes)
    values = {"basket": basket.lower(), "dose": join(recipe.dose_g, "g")}
    if brewing.kitchen.no_scale:
        if basket:
            return [_("*Coffee.* Put the %(basket)s basket in. Fill it loosely to the rim, ready-ground.") % values]
        return [_("*Coffee.* Fill the basket loosely to the rim, ground for espresso.")]
    if basket:
        return [_("*Coffee.* Put the %(basket)s basket in. Weigh in *%(dose)s*, ready-ground.") % values]
    return [_("*Coffee.* Weigh *%(dose)s*, ground for espresso, into the basket.") % values]


def _built_in(brewing: Brewing, recipe: Recipe) -> list[str]:
    at = _("*Grind.* Grinder at *%(setting)s*.") % {"setting": retold(recipe.grind_setting)}
    return [at, _dial(brewing, recipe), _amount(brewing, recipe)]


def _dial(brewing: Brewing, recipe: Recipe) -> str:
    if not recipe.dose_dial:
        return ""
    scale, dial = brewing.notes.dose_scale, {"dial": retold(recipe.dose_dial)}
    if scale in (ScaleKind.CLOCK, ScaleKind.STEPS):
        return _("Dose dial at *%(dial)s*.") % dial
    if scale == ScaleKind.SECONDS:
        return _("Grind for *%(dial)s*.") % dial
    return _("Dose set to *%(dial)s*.") % dial


def _amount(brewing: Brewing, recipe: Recipe) -> str:
    values = {"count": recipe.portions, "dose": join(recipe.dose_g, "g")}
    if recipe.portions > 1:
        each = values | {"each": join(round(recipe.dose_g / recipe.portions, 1), "g")}
        return _("Press %(count)s times, %(each)s each: *%(dose)s*.") % each
    if brewing.kitchen.no_scale:
        return _("That gives *%(dose)s*.") % values
    return _("Weigh it: *%(dose)s*.") % values


def _ground_elsewhere(brewing: Brewing, recipe: Recipe) -> list[str]:
    """The recipe rests on a grinder that stays with us, or on the buyer's own."""
    values = {"dose": join(recipe.dose_g, "g"), "setting": retold(recipe.grind_setting)}
    if recipe.grinder == WhoseGrinder.BUYERS and recipe.grind_setting:
        return [_("*Grind.* Your grinder at *%(setting)s*: *%(dose)s* into the basket.") % values]
    if brewing.kitchen.grinder == BuyerHas.NO:
        return [_("*Coffee.* Have it ground fresh for espresso. Put *%(dose)s* in the basket.") % values]
    if brewing.kitchen.grinder == BuyerHas.YES:
        return [_("*Grind* fine, for espresso: *%(dose)s* into the basket.") % values]
    return [_("*Grind.* Put *%(dose)s* of fresh ground coffee in the basket.") % values]


def _tamp(recipe: Recipe) -> str:
    if recipe.tamp_cue:
        return _("Spread it. Press it flat (tamp), %(cue)s.") % {"cue": recipe.tamp_cue}
    return _("Spread it. Press it flat (tamp).")


def _by_eye(brewing: Brewing, recipe: Recipe) -> list[str]:
    """The depth stands in for a scale; it was read on this machine with this dose."""
    if not recipe.tamp_cue or brewing.kitchen.scale == BuyerHas.YES:
        return []
    if brewing.kitchen.no_scale:
        return [_("That depth is %(dose)s.") % {"dose": join(recipe.dose_g, "g")}]
    return [_("No scale? Go by that depth.")]


# --- lock in, pour ---------------------------------------------------------------------------------------


def _lock(brewing: Brewing, recipe: Recipe) -> list[str]:
    # The handle stops short at first and comes further round as a new seal beds in. Common practice, no source.
    bedding = _("With use the new seal lets it further.") if brewing.new_seal else ""
    return [_("*Lock in.* Wipe the rim."), _turn(recipe), bedding, _cup(brewing)]


def _turn(recipe: Recipe) -> str:
    if not recipe.lock_in:
        return _("Turn the handle firmly.")
    values = {"place": retold(recipe.lock_in), "six": f"6{NBSP}"}
    if hour(recipe.lock_in) is None:
        return _("Turn the handle firmly to *%(place)s*.") % values
    return _("Turn the handle firmly to *%(place)s* (%(six)spoints at you).") % values


def _cup(brewing: Brewing) -> str:
    if brewing.kitchen.no_scale:
        return _("Cup under it.")
    if brewing.kitchen.scale == BuyerHas.YES:
        return _("Cup on the scale, scale at 0.")
    return _("Cup under it, on a scale at 0 if there is one.")


def _pour(brewing: Brewing, recipe: Recipe) -> list[str]:
    wait = _("Wait %(wait)s, then turn the handle.") % {"wait": join(RELEASE_WAIT_S.value, "s")}
    button = brewing.button
    if button is not None and not brewing.kitchen.ready_ground:
        pressed = _pressed(recipe, _with_place(brewing, button.name))
        values = {"grams": join(round(button.gives_g), "g"), **_window(recipe)}
        stops = _("It stops by itself: *%(grams)s* in *%(low)s to %(high)s*.") % values
        return [pressed, stops, wait]
    return [_start(brewing, recipe), _stop(brewing, recipe), wait]


def _pressed(recipe: Recipe, button: str) -> str:
    if recipe.timed_from == TimedFrom.FIRST_DRIP:
        return _("*Pour.* Start the pump (%(control)s), the timer at the first drip.") % {"control": button}
    return _("*Pour.* Press %(button)s, start the timer.") % {"button": button}


def _window(recipe: Recipe) -> dict[str, str]:
    return {"low": plain(recipe.time_low_s), "high": join(recipe.time_high_s, _("seconds"))}


def _with_place(brewing: Brewing, label: str) -> str:
    control = brewing.controls.get(ControlUse.COFFEE)
    return f"{label}, {control.place}" if control and control.place and control.label == label else label


def _start(brewing: Brewing, recipe: Recipe) -> str:
    control = brewing.controls.get(ControlUse.COFFEE)
    by = {"control": _with_place(brewing, control.label)} if control else {}
    if brewing.notes.pump == Pump.NONE:
        return _("*Pour.* Work the lever (%(control)s).") % by if by else _("*Pour.* Work the lever.")
    if recipe.timed_from == TimedFrom.FIRST_DRIP:
        if by:
            return _("*Pour.* Start the pump (%(control)s), the timer at the first drip.") % by
        return _("*Pour.* Start the pump, the timer at the first drip.")
    if by:
        return _("*Pour.* Start pump (%(control)s) and timer together.") % by
    return _("*Pour.* Start pump and timer together.")


def _stop(brewing: Brewing, recipe: Recipe) -> str:
    values = {"yield": join(recipe.yield_g, "g"), "time": join(round(recipe.time_s), _("seconds")), **_window(recipe)}
    if brewing.kitchen.ready_ground:
        # Behind two walls the seconds say nothing of the grind (common practice, no source).
        if brewing.kitchen.no_scale:
            return _("Stop when the cup is as full as you like it: the seconds say little here.")
        return _("Stop at *%(yield)s* in the cup: the seconds say little here.") % values
    if brewing.kitchen.no_scale:
        return _("Stop after *%(time)s*: about %(yield)s in the cup.") % values
    return _("Stop at *%(yield)s* in the cup, after *%(low)s to %(high)s*.") % values


# --- a grinder alone -------------------------------------------------------------------------------------


def _grinder_alone(brewing: Brewing) -> tuple[Step, ...]:
    grind = brewing.controls.get(ControlUse.GRIND)
    fine = _("*Set* it finer only while it grinds.")
    if grind is not None:
        values = {"control": grind.label, "place": grind.place or grind.label}
        fine = _("*Set* it finer only while it grinds: %(control)s, %(place)s.") % values
    each = (
        [_("*Fill* the hopper with beans. Plug in."), _switch_on(brewing)],
        [fine],
        [_("*Throw* the first grams away after every change: they are of the old setting.")],
        [_("*Brush* it out unplugged, no water.")],
    )
    return tuple(Step(runs(*sentences)) for sentences in each)
