"""First coffee, settings and how to put a coffee right: from this machine's recipe, controls and shots only."""

from dataclasses import dataclass
from decimal import Decimal

from django.utils import timezone

from handover.sheet import (
    NBSP,
    Adjusting,
    BigFigure,
    Change,
    Dial,
    DialKind,
    Grinder,
    Row,
    Run,
    SettingsCard,
    Step,
    join,
    plain,
    say_short,
)
from handover.words import BuyerHas
from workshop.bench.chart import ShotChart
from workshop.bench.dialin import scale_of
from workshop.bench.models import Recipe
from workshop.bench.pages_dose import ProvedButton
from workshop.bench.words import TimedFrom, WhoseGrinder
from workshop.core.models import Control, ModelNotes
from workshop.core.words import ControlUse
from workshop.trade import scales
from workshop.trade.coffee.sources import RELEASE_WAIT_S
from workshop.trade.scales import ScaleKind


@dataclass(frozen=True, slots=True)
class Brewing:
    """Everything the first coffee speaks of."""

    notes: ModelNotes
    recipe: Recipe | None
    controls: dict[str, Control]
    scale: str = BuyerHas.UNKNOWN
    chart: ShotChart | None = None
    tried: frozenset[str] = frozenset()  # settings pulled on this machine, in the scale's words
    step_s: int | None = None  # seconds one step of the grinder moves a shot, where the shots say so
    buttons: tuple[ProvedButton, ...] = ()  # each proved button with what it delivers


def steps(brewing: Brewing) -> tuple[Step, ...]:
    """Return the six steps; without a recipe (a grinder alone) there are none."""
    if brewing.recipe is None:
        return ()
    texts = (
        f"*Fill* the tank with cold water. Plug in. Switch on{_where(brewing, ControlUse.POWER)}.",
        _warm(brewing, brewing.recipe),
        _rinse(brewing.recipe),
        _grind(brewing, brewing.recipe),
        _lock(brewing, brewing.recipe),
        _pour(brewing, brewing.recipe),
    )
    return tuple(Step(_runs(text)) for text in texts)


def _runs(text: str) -> tuple[Run, ...]:
    return tuple(Run(part, bold=at % 2 == 1) for at, part in enumerate(text.split("*")) if part)


def _where(brewing: Brewing, use: ControlUse) -> str:
    control = brewing.controls.get(use)
    if control is None:
        return ""
    return f": {control.label}" + (f", {control.place}" if control.place else "")


def _warm(brewing: Brewing, recipe: Recipe) -> str:
    low, high = recipe.ready_low_min, recipe.ready_high_min
    time = ""
    if low is not None:
        time = f" for {join(low, 'min')}" if high in (None, low) else f" for {plain(low)} to {join(high, 'min')}"
    sign = f", until {brewing.notes.ready_sign}" if brewing.notes.ready_sign else ""
    return f"*Warm up{time}*, handle (portafilter) locked in{sign}."


def _rinse(recipe: Recipe) -> str:
    count = recipe.blank_shots
    cups = "a cup" if count in (None, 0, 1) else f"{count}{NBSP}cups"
    return f"*Rinse.* Run {cups} of water through, no coffee in. Take the handle out. Dry it and the basket."


def _grind(brewing: Brewing, recipe: Recipe) -> str:
    dose = join(recipe.dose_g, "g")
    level = f", {recipe.tamp_cue}" if recipe.tamp_cue else ""
    tamp = f"Spread it. Press it flat (tamp){level}."
    if not recipe.built_in_grinder:
        return f"*Grind.* Put *{dose}* of fresh ground coffee in the basket. {tamp}"
    dial = f"{_dose_word(brewing.notes)} *{recipe.dose_dial}*" if recipe.dose_dial else ""
    if recipe.portions > 1:
        each = join(round(recipe.dose_g / recipe.portions, 1), "g")
        press = f"Press {recipe.portions} times, {each} each: *{dose}*."
        return f"*Grind.* Grinder at *{recipe.grind_setting}*{dial}. {press} {tamp}"
    of_coffee = "" if dial else " of coffee"
    return f"*Grind.* Grinder at *{recipe.grind_setting}*{dial}: *{dose}*{of_coffee}. {tamp}"


def _dose_word(notes: ModelNotes) -> str:
    if notes.dose_scale in (ScaleKind.CLOCK, ScaleKind.STEPS):
        return ", dose dial at"
    return " for" if notes.dose_scale == ScaleKind.SECONDS else ", dose set to"


def _lock(brewing: Brewing, recipe: Recipe) -> str:
    turn = f" to *{recipe.lock_in}*{_points(recipe.lock_in)}" if recipe.lock_in else ""
    scale = "Cup under it." if brewing.scale == BuyerHas.NO else f"Kitchen scale and cup under it, scale to{NBSP}0."
    return f"*Lock in.* Wipe the rim. Turn the handle firmly{turn}. {scale}"


def _points(lock_in: str) -> str:
    return f" (6{NBSP}points at you)" if hour(lock_in) is not None else ""


def _pour(brewing: Brewing, recipe: Recipe) -> str:
    control = brewing.controls.get(ControlUse.COFFEE)
    start = _start(recipe, f" ({control.label})" if control else "")
    window = f"{plain(recipe.time_low_s)} to {join(recipe.time_high_s, 'seconds')}"
    stop = f"Stop at *{join(recipe.yield_g, 'g')}* in the cup, after *{window}*."
    if brewing.scale == BuyerHas.NO:
        stop = f"Stop after *{join(round(recipe.time_s), 'seconds')}*: about {join(recipe.yield_g, 'g')} in the cup."
    return f"*Pour.* {start} {stop} Wait {join(RELEASE_WAIT_S.value, 's')}, then turn the handle."


def _start(recipe: Recipe, control: str) -> str:
    if recipe.timed_from == TimedFrom.FIRST_DRIP:
        return f"Start the pump{control}, the timer at the first drip."
    return f"Start pump{control} and timer together."


def settings(brewing: Brewing) -> SettingsCard | None:
    """Return the settings card, from proved values only."""
    recipe = brewing.recipe
    if recipe is None:
        return None
    figures = (
        BigFigure(recipe.dose_g, "g", "coffee in"),
        BigFigure(recipe.yield_g, "g", "in the cup"),
        BigFigure(recipe.time_s, "s", recipe.time_words),
    )
    proved = timezone.localdate(recipe.second_shot.at)
    note = f"measured on this machine, {say_short(proved).rsplit(NBSP, 1)[0]}"
    return SettingsCard(note, figures, _grinder(brewing, recipe), _dials(brewing, recipe), _rows(brewing, recipe))


def _grinder(brewing: Brewing, recipe: Recipe) -> Grinder | None:
    if recipe.grinder == WhoseGrinder.BUYERS:
        return None  # the buyer's own stands among the rows, with its number
    if not recipe.built_in_grinder:
        return Grinder(built_in=False)
    notes = brewing.notes
    finest = notes.grind_low if notes.grind_finer == "LOWER" else notes.grind_high
    hint = f" ({plain(finest)} is finest)" if finest is not None and notes.grind_scale == ScaleKind.STEPS else ""
    return Grinder(built_in=True, setting=f"{recipe.grind_setting}{hint}" if recipe.grind_setting else None)


def _dials(brewing: Brewing, recipe: Recipe) -> tuple[Dial, ...]:
    dials = []
    if brewing.notes.dose_scale == ScaleKind.CLOCK and (at := hour(recipe.dose_dial)) is not None:
        dials.append(Dial(DialKind.CLOCK, "Dose dial", digits(at), at))
    if (at := hour(recipe.lock_in)) is not None:
        dials.append(Dial(DialKind.HANDLE, "Handle", digits(at), at))
    low, high = hour(brewing.notes.gauge_from), hour(brewing.notes.gauge_to)
    if recipe.gauge_zone and low is not None and high is not None:
        words = f"{plain(low or Decimal(12))} to {plain(high or Decimal(12))}"
        dials.append(Dial(DialKind.ZONE, "Gauge", words, low, high))
    return tuple(dials)


def hour(words: str) -> Decimal | None:
    """Return the clock hour said in words, or None where they are not clock words."""
    try:
        return scales.parse(scales.CLOCK_FACE, words) if words else None
    except ValueError:
        return None


def digits(at: Decimal) -> str:
    """Return a clock hour as it is read off a dial: 2:30."""
    hours = int(at)
    return f"{hours or 12}:{int((at - hours) * 60):02d}"


def _rows(brewing: Brewing, recipe: Recipe) -> tuple[Row, ...]:
    return (
        *_grinding_rows(recipe),
        *_button_rows(brewing.buttons),
        *_cup_rows(recipe),
    )


def _button_rows(buttons: tuple[ProvedButton, ...]) -> list[Row]:
    """What each button gives; a single one is called Button, for the card is narrow and step 6 names it."""
    alone = len(buttons) == 1
    return [Row("Button" if alone else each.name.capitalize(), each.words) for each in buttons]


def _grinding_rows(recipe: Recipe) -> list[Row]:
    rows = []
    if recipe.grinder == WhoseGrinder.BUYERS:
        rows.append(Row("Grinder", f"on yours, at {recipe.grind_setting}"))
    if recipe.built_in_grinder and recipe.left_set_at and recipe.left_set_at != recipe.grind_setting:
        rows.append(Row("Left set at", recipe.left_set_at))
    if recipe.built_in_grinder and recipe.portions > 1:
        each = join(round(recipe.dose_g / recipe.portions, 1), "g")
        rows.append(Row("Grind", f"{recipe.portions} presses, {each} each"))
    return rows


def _cup_rows(recipe: Recipe) -> list[Row]:
    rows = []
    if recipe.selector:
        rows.append(Row("Selector", recipe.selector.lower()))
    if recipe.basket:
        rows.append(Row("Basket", recipe.basket.lower()))
    if recipe.steam_ready_s is not None:
        rows.append(Row("Steam", f"ready after {join(recipe.steam_ready_s, 's')}"))
    if recipe.coffee:
        roasted = f", {say_short(recipe.roasted_on).rsplit(NBSP, 1)[0]}" if recipe.roasted_on else ""
        rows.append(Row("Roast", f"{recipe.coffee}{roasted}"))
    return rows


def adjusting(brewing: Brewing) -> Adjusting | None:
    """Return the finer and coarser rule in this grinder's own steps."""
    recipe = brewing.recipe
    if recipe is None:
        return None
    (finer, coarser), untried = _neighbours(brewing, recipe)
    changes = (Change("Fast, thin, sour", "Finer", finer), Change("Slow, dark, bitter", "Coarser", coarser))
    much = f"One step: about {join(brewing.step_s, 's')}. " if brewing.step_s and recipe.built_in_grinder else ""
    if untried:
        much = f"{much}{' and '.join(untried)} not pulled here. "
    teach = " Then teach the button again." if any(each.timed for each in brewing.buttons) else ""
    note = f"{much}Turn it while it grinds. Pour the next coffee away.{teach}"
    return Adjusting(changes, note, brewing.chart if recipe.built_in_grinder else None)


def _neighbours(brewing: Brewing, recipe: Recipe) -> tuple[tuple[str, str], list[str]]:
    """Return the words of one step finer and coarser, and which of the two was never pulled on this machine."""
    scale = scale_of(brewing.notes)
    if scale is None or scale.finer is None or not recipe.built_in_grinder or not recipe.grind_setting:
        return ("one step", "one step"), []
    at = scales.parse(scale, recipe.grind_setting)
    near = [scales.next_finer(scale, at), scales.next_coarser(scale, at)]
    said = [scales.say(scale, setting) if setting is not None else "" for setting in near]
    finer, coarser = (f"grinder to{NBSP}{words}" if words else "" for words in said)
    untried = [words for words in said if words and words not in brewing.tried]
    return (finer or "it is at its finest", coarser or "it is at its coarsest"), untried
