"""The settings card and how to put a coffee right: from this machine's recipe and shots only."""

from dataclasses import replace

from django.utils import timezone
from django.utils.translation import gettext as _

from handover import compose_baskets
from handover.brewing import Brewing, digits, hour
from handover.retold import retold
from handover.saying import say_day
from handover.sheet import Adjusting, BigFigure, Change, Dial, DialKind, Grinder, Row, SettingsCard, join, plain
from handover.words import BuyerHas
from workshop.bench.chart import ShotChart
from workshop.bench.dialin import scale_of
from workshop.bench.models import Recipe
from workshop.bench.pages_dose import ProvedButton
from workshop.bench.words import TimedFrom, WhoseGrinder
from workshop.trade import scales
from workshop.trade.scales import ScaleKind

TWELVE = 12


def settings(brewing: Brewing) -> SettingsCard | None:
    """Return the settings card, from proved values only."""
    recipe = brewing.recipe
    if recipe is None:
        return None
    from_drip = recipe.timed_from == TimedFrom.FIRST_DRIP
    figures = (
        BigFigure(recipe.dose_g, "g", _("coffee in")),
        BigFigure(recipe.yield_g, "g", _("in the cup")),
        BigFigure(recipe.time_s, "s", _("from first drip") if from_drip else _("pump time")),
    )
    proved = say_day(timezone.localdate(recipe.second_shot.at))
    note = _("measured on this machine, %(day)s") % {"day": proved}
    return SettingsCard(note, figures, _grinder(brewing, recipe), _dials(brewing, recipe), _rows(brewing, recipe))


def _grinder(brewing: Brewing, recipe: Recipe) -> Grinder | None:
    if recipe.grinder == WhoseGrinder.BUYERS:
        return None  # the buyer's own stands among the rows, with its number
    if not recipe.built_in_grinder:
        return Grinder(built_in=False)
    notes, setting = brewing.notes, retold(recipe.grind_setting)
    finest = notes.grind_low if notes.grind_finer == "LOWER" else notes.grind_high
    if setting and finest is not None and notes.grind_scale == ScaleKind.STEPS:
        setting = _("%(setting)s (%(finest)s is finest)") % {"setting": setting, "finest": plain(finest)}
    return Grinder(built_in=True, setting=setting or None)


def _dials(brewing: Brewing, recipe: Recipe) -> tuple[Dial, ...]:
    dials = []
    if brewing.notes.dose_scale == ScaleKind.CLOCK and (at := hour(recipe.dose_dial)) is not None:
        dials.append(Dial(DialKind.CLOCK, _("Dose dial"), digits(at), at))
    if (at := hour(recipe.lock_in)) is not None:
        dials.append(Dial(DialKind.HANDLE, _("Handle"), digits(at), at))
    low, high = hour(brewing.notes.gauge_from), hour(brewing.notes.gauge_to)
    if recipe.gauge_zone and low is not None and high is not None:
        ends = {"low": plain(low) if low else str(TWELVE), "high": plain(high) if high else str(TWELVE)}
        dials.append(Dial(DialKind.ZONE, _("Gauge"), _("%(low)s to %(high)s") % ends, low, high))
    return tuple(dials)


def _rows(brewing: Brewing, recipe: Recipe) -> tuple[Row, ...]:
    return (
        *_grinding_rows(recipe),
        *_button_rows(brewing.buttons),
        *_group_rows(brewing),
        *_cup_rows(recipe),
    )


def _button_rows(buttons: tuple[ProvedButton, ...]) -> list[Row]:
    """What each button gives; a single one is called Button, for the card is narrow and step 6 names it."""
    alone = len(buttons) == 1
    return [Row(_("Button") if alone else each.name.capitalize(), retold(each.words)) for each in buttons]


def _grinding_rows(recipe: Recipe) -> list[Row]:
    rows = []
    if recipe.grinder == WhoseGrinder.BUYERS:
        rows.append(Row(_("Grinder"), _("on yours, at %(setting)s") % {"setting": retold(recipe.grind_setting)}))
    if recipe.built_in_grinder and recipe.left_set_at and recipe.left_set_at != recipe.grind_setting:
        rows.append(Row(_("Left set at"), retold(recipe.left_set_at)))
    return rows


def _group_rows(brewing: Brewing) -> list[Row]:
    """Pressure in a shot and the heat of the water at the group, where both were read."""
    bar, heat = brewing.measured.get("pressure_shot"), brewing.measured.get("brew_water")
    if bar is None or heat is None:
        return []
    return [Row(_("Group"), f"{join(bar, 'bar')}, {join(round(heat), '°C')}")]


def _cup_rows(recipe: Recipe) -> list[Row]:
    rows = []
    if recipe.selector:
        rows.append(Row(_("Selector"), recipe.selector.lower()))
    if recipe.basket:
        rows.append(Row(_("Basket"), recipe.basket.lower()))
    if recipe.steam_ready_s is not None:
        rows.append(Row(_("Steam"), _("ready after %(time)s") % {"time": join(recipe.steam_ready_s, "s")}))
    if recipe.coffee:
        roasted = f", {say_day(recipe.roasted_on)}" if recipe.roasted_on else ""
        rows.append(Row(_("Roast"), f"{recipe.coffee}{roasted}"))
    return rows


# --- finer, coarser --------------------------------------------------------------------------------------


def adjusting(brewing: Brewing) -> Adjusting | None:
    """Return the finer and coarser rule in this grinder's own steps."""
    recipe = brewing.recipe
    if recipe is None:
        return None
    fast, slow = _("Fast, thin, sour"), _("Slow, dark, bitter")
    if _grinds_elsewhere(brewing, recipe):
        changes = (
            Change(fast, _("Finer"), _("have it ground finer")),
            Change(slow, _("Coarser"), _("have it ground coarser")),
        )
        return Adjusting(changes, " ".join(_without_grinder(brewing)))
    (finer, coarser), untried = _neighbours(brewing, recipe)
    changes = (Change(fast, _("Finer"), finer), Change(slow, _("Coarser"), coarser))
    said = [*_how_much(brewing, recipe, untried), *_rule(brewing)]
    return Adjusting(changes, " ".join(said), _chart(brewing.chart) if recipe.built_in_grinder else None)


def _chart(chart: ShotChart | None) -> ShotChart | None:
    """The shots with their words in the buyer's language."""
    if chart is None:
        return None
    return replace(
        chart,
        labels=tuple(replace(label, words=retold(label.words)) for label in chart.labels),
        points=tuple(replace(point, word=retold(point.word)) for point in chart.points),
        time_words=retold(chart.time_words),
        setting_words=retold(chart.setting_words),
        window_words=retold(chart.window_words),
    )


def _grinds_elsewhere(brewing: Brewing, recipe: Recipe) -> bool:
    """Whether the buyer has nothing to turn: they buy it ground, or have no grinder and the machine has none."""
    if brewing.kitchen.ready_ground:
        return True
    return brewing.kitchen.grinder == BuyerHas.NO and not recipe.built_in_grinder


def _without_grinder(brewing: Brewing) -> list[str]:
    basket = compose_baskets.two_wall(brewing.notes)
    said = []
    if brewing.kitchen.ready_ground and basket:
        said.append(_("The %(basket)s basket forgives most of it.") % {"basket": basket.lower()})
    if brewing.kitchen.ready_ground:
        said.append(_("The settings were proved with freshly ground coffee."))
    return [*said, _("Change one thing at a time.")]


def _how_much(brewing: Brewing, recipe: Recipe, untried: list[str]) -> list[str]:
    said = []
    if brewing.step_s and recipe.built_in_grinder:
        said.append(_("One step: about %(time)s.") % {"time": join(brewing.step_s, "s")})
    if len(untried) > 1:
        said.append(_("%(finer)s and %(coarser)s not pulled here.") % {"finer": untried[0], "coarser": untried[1]})
    elif untried:
        said.append(_("%(setting)s not pulled here.") % {"setting": untried[0]})
    return said


def _rule(brewing: Brewing) -> list[str]:
    """Old grounds stay in the grinder after a change: purge, and judge the coffee after next (source C-19)."""
    said = [_("Turn it only while it grinds, then throw the first grams away. Judge the second coffee.")]
    if any(each.timed for each in brewing.buttons):
        said.append(_("Then teach the button again."))
    return said


def _neighbours(brewing: Brewing, recipe: Recipe) -> tuple[tuple[str, str], list[str]]:
    """Return the words of one step finer and coarser, and which of the two was never pulled on this machine."""
    scale = scale_of(brewing.notes)
    if scale is None or scale.finer is None or not recipe.built_in_grinder or not recipe.grind_setting:
        return (_("one step"), _("one step")), []
    at = scales.parse(scale, recipe.grind_setting)
    near = [scales.next_finer(scale, at), scales.next_coarser(scale, at)]
    said = [scales.say(scale, setting) if setting is not None else "" for setting in near]
    finer, coarser = (_("grinder to %(setting)s") % {"setting": retold(words)} if words else "" for words in said)
    untried = [retold(words) for words in said if words and words not in brewing.tried]
    return (finer or _("it is at its finest"), coarser or _("it is at its coarsest")), untried
