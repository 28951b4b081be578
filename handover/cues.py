"""Cue cards: what to show and say at the counter or in one take, in order, with this unit's own numbers only.

What was not measured is named as missing and never filled in. Before the recipe is proved the cards of coffee are
left out and the safety ones stay.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.urls import reverse

from handover import compose
from handover.cue_words import Cue
from handover.sheet import SafetyMessage, SheetContent, join, plain
from handover.words import Language
from workshop.bench import pages as bench_pages
from workshop.bench import stations as bench_stations
from workshop.bench.models import Recipe
from workshop.bench.pages import BenchOnSheet
from workshop.bench.words import WhoseGrinder
from workshop.core import stations
from workshop.core.models import Control, Job, ModelNotes
from workshop.core.words import ControlUse, Kind, full_stop
from workshop.trade.coffee.sources import RELEASE_WAIT_S
from workshop.trade.scales import ScaleKind

NEVER_A_CARD = 2  # safety messages: a third does not fit a small phone. House policy, seen at 390 by 664 px.
_DOSE_WORDS: dict[str, str] = {
    ScaleKind.CLOCK: "dose dial", ScaleKind.STEPS: "dose dial", ScaleKind.SECONDS: "grind for",
}  # fmt: skip
MINUTES = 5  # what showing it takes. House policy.
OPEN_SHOWN = 3  # of what Prove still lacks; its page has the rest. House policy.


@dataclass(frozen=True, slots=True)
class Big:
    """A figure in large type with its small words."""

    figure: str
    words: str


@dataclass(frozen=True, slots=True)
class Card:
    """One card: what to show, what to say, the numbers, and what was not measured."""

    title: str
    code: str = ""
    figures: tuple[Big, ...] = ()
    show: str = ""
    say: tuple[str, ...] = ()
    safety: tuple[SafetyMessage, ...] = ()
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Deck:
    """All cards of one machine; `lacks` says what stops it from being shown, where `mend_url` mends it."""

    cards: tuple[Card, ...]
    lacks: tuple[str, ...]
    mend_url: str

    @property
    def codes(self) -> tuple[str, ...]:
        """Return what the cards show, each once, in order."""
        return tuple(dict.fromkeys(card.code for card in self.cards if card.code))


def deck(job: Job, today: date) -> Deck:
    """Return the cards of one machine as its numbers stand today."""
    notes = job.machine.notes
    bench = bench_pages.for_sheet(job)
    content = compose.sheet(job, number=compose.next_number(), issued_on=today, language=Language.EN, bench=bench)
    lacks = _lacks(job, bench.recipe)
    shown = _coffee(notes, bench, content) if bench.recipe else _first_use(content)
    cards = (*_not_ready(lacks), *shown, *_after(content), *_never(content), *_care(content))
    return Deck(cards, lacks, reverse("bench:prove", args=[job.machine.slug]))


def _lacks(job: Job, recipe: Recipe | None) -> tuple[str, ...]:
    prove = stations.one(bench_stations.PROVE, job.pk)
    if prove.closed:
        return ()
    open_rows = [row.sentence for row in prove.unmet]
    more = len(open_rows) - OPEN_SHOWN
    numbers = "These numbers may still change." if recipe else "There is no proved recipe to show."
    rest = (f"And {more} more, on Prove.",) if more > 0 else ()
    return (f"Prove is not finished. {numbers}", *open_rows[:OPEN_SHOWN], *rest)


def _not_ready(lacks: tuple[str, ...]) -> tuple[Card, ...]:
    return (Card("Not ready to show", say=lacks),) if lacks else ()


def _first_use(content: SheetContent) -> tuple[Card, ...]:
    """Without a recipe the steps of the sheet, where it has any, as for a grinder alone."""
    steps = tuple("".join(run.words for run in step.runs) for step in content.steps)
    return (Card("First use", Cue.FILL, say=steps),) if steps else ()


def _coffee(notes: ModelNotes, bench: BenchOnSheet, content: SheetContent) -> Iterable[Card]:
    recipe = bench.recipe
    if recipe is None:
        return
    controls = {control.use: control for control in notes.controls.order_by("-pk")}
    yield _fill(controls)
    yield _warm(notes, recipe)
    yield _grind(notes, recipe)
    yield _lock(recipe)
    yield _pour(bench, recipe, controls)
    if notes.has_steam and notes.kind != Kind.GRINDER:
        yield _milk(recipe, content, controls)
        yield _back(recipe)


def _at(controls: dict[str, Control], use: ControlUse, otherwise: str) -> str:
    """Name a control and its place, as the model notes have them."""
    control = controls.get(use)
    if control is None:
        return otherwise
    return f"{control.label}, {control.place}" if control.place else control.label


def _fill(controls: dict[str, Control]) -> Card:
    return Card(
        "Fill and switch on",
        Cue.FILL,
        show=f"The tank. Then the switch: {_at(controls, ControlUse.POWER, 'where it is')}.",
        say=("Cold water, up to the mark.", "Plug in, switch on.", "Never run it with the tank empty."),
    )


def _warm(notes: ModelNotes, recipe: Recipe) -> Card:
    low, high = recipe.ready_low_min, recipe.ready_high_min
    time = "" if low is None else join(low, "min") if high in (None, low) else f"{plain(low)} to {join(high, 'min')}"
    cups = recipe.blank_shots or 1
    rinse = "a cup" if cups == 1 else f"{cups} cups"
    return Card(
        "Warm up and rinse",
        Cue.WARM,
        (Big(time, "to warm up"),) if time else (),
        show=full_stop(f"The sign that it is ready: {notes.ready_sign}") if notes.ready_sign else "",
        say=(
            "The handle is locked in while it warms.",
            f"Run {rinse} of water through, no coffee in.",
            "Dry the handle and the basket.",
        ),
        missing=() if time else ("How long it takes to warm up was not measured.",),
    )


def _grind(notes: ModelNotes, recipe: Recipe) -> Card:
    dose = _big(recipe.dose_g, "g", "coffee in")
    if not recipe.built_in_grinder:
        ours = f"On your grinder it is {recipe.grind_setting}." if recipe.grinder == WhoseGrinder.BUYERS else ""
        find = ours or f"Your grinder: find the setting that pours in {_window(recipe)}."
        return Card("Grind", Cue.GRIND, (dose,), "The basket and a scale.", (find, "Change it only while it grinds."))
    setting = Big(recipe.grind_setting, "grinder") if recipe.grind_setting else None
    dial = Big(recipe.dose_dial, _DOSE_WORDS.get(notes.dose_scale, "dose set to")) if recipe.dose_dial else None
    portions = (f"Press {recipe.portions} times for the whole dose.",) if recipe.portions > 1 else ()
    return Card(
        "Grind",
        Cue.GRIND,
        tuple(big for big in (setting, dial, dose) if big),
        show="Where the setting and the dose are turned." if dial else "Where the setting is turned.",
        say=(*portions, "Turn the setting only while it grinds.", "Pour the next coffee away."),
        missing=() if setting else ("No grind setting was noted.",),
    )


def _lock(recipe: Recipe) -> Card:
    at = (Big(recipe.lock_in, "handle points to"),) if recipe.lock_in else ()
    tamp = full_stop(f"Press it flat: {recipe.tamp_cue}") if recipe.tamp_cue else "Press it flat."
    firm = "Turn it firmly to there, no further." if recipe.lock_in else "Turn it firmly."
    return Card(
        "Tamp and lock in",
        Cue.LOCK,
        at,
        show="The level in the basket. Then the handle, turned home.",
        say=("Spread the coffee.", tamp, "Wipe the rim.", firm),
        missing=() if at else ("The lock-in position was not noted.",),
    )


def _pour(bench: BenchOnSheet, recipe: Recipe, controls: dict[str, Control]) -> Card:
    buttons = tuple(f"{each.name[:1].upper()}{each.name[1:]}: {each.words}." for each in bench.buttons)
    return Card(
        "Pour",
        Cue.POUR,
        (_big(recipe.time_s, "s", recipe.time_words), _big(recipe.yield_g, "g", "in the cup")),
        show=f"The cup on the scale. Then: {_at(controls, ControlUse.COFFEE, 'the pump')}.",
        say=(
            *buttons,
            f"A good one takes {_window(recipe)}, {recipe.time_words}.",
            f"Wait {join(RELEASE_WAIT_S.value, 'seconds')}, then turn the handle: it burns.",
        ),
    )


def _window(recipe: Recipe) -> str:
    return f"{plain(recipe.time_low_s)} to {join(recipe.time_high_s, 'seconds')}"


def _milk(recipe: Recipe, content: SheetContent, controls: dict[str, Control]) -> Card:
    ready = recipe.steam_ready_s
    return Card(
        "Steam milk",
        Cue.MILK,
        (_big(ready, "s", "until steam is ready"),) if ready is not None else (),
        show=f"How steam is opened: {_at(controls, ControlUse.STEAM, 'the steam tap')}. Hands away from the pipe.",
        say=tuple(full_stop(line) for line in content.milk),
        missing=() if ready is not None else ("How soon steam is ready was not measured.",),
    )


def _back(recipe: Recipe) -> Card:
    after = recipe.back_to_coffee_s
    return Card(
        "Back to coffee",
        Cue.BACK,
        (_big(after, "s", "until it pours coffee again"),) if after is not None else (),
        show="How it cools down again after steam.",
        say=(full_stop(recipe.back_to_coffee),) if recipe.back_to_coffee else (),
        missing=() if after is not None or recipe.back_to_coffee else ("How to go back to coffee was not noted.",),
    )


def _big(value: Decimal, unit: str, words: str) -> Big:
    return Big(join(value, unit), words)


def _after(content: SheetContent) -> tuple[Card, ...]:
    lines = tuple(full_stop(line) for line in content.after_use)
    return (Card("After each use", Cue.AFTER, show="Do it, while you say it.", say=lines),) if lines else ()


def _never(content: SheetContent) -> tuple[Card, ...]:
    safety = content.safety
    batches = [safety[at : at + NEVER_A_CARD] for at in range(0, len(safety), NEVER_A_CARD)]
    more = (Card("Never do this", Cue.NEVER, say=content.never),) if content.never else ()
    return (*(Card("Never do this", Cue.NEVER, safety=batch) for batch in batches), *more)


def _care(content: SheetContent) -> tuple[Card, ...]:
    if not content.care:
        return ()
    first = content.care[0]
    return (
        Card(
            "The first care date",
            Cue.CARE,
            (Big(first.first, "first"), Big(first.then, "then")),
            show="The care calendar on the sheet.",
            say=(full_stop(first.words), "All dates stand on the sheet, and on your page for your calendar."),
        ),
    )
