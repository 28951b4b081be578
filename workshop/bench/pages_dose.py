"""Prepared rows of the Dose page and of the Buttons page."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from workshop.bench import buttons, dosing, grind_moves
from workshop.bench.buttons import Series
from workshop.bench.dosing import Dosing
from workshop.bench.facts.prove import ProveFacts
from workshop.bench.models import BurrChange, ButtonTrial, DoseTrial
from workshop.bench.models.corrections import STANDS
from workshop.bench.words import ButtonKind, say_count
from workshop.core.models import Job
from workshop.core.templatetags.measures import NBSP, measure, number, short_day
from workshop.core.words import ControlUse
from workshop.trade import scales
from workshop.trade.coffee.buttons import ButtonVerdict
from workshop.trade.coffee.dosing import Dose, DoseFit, Drift
from workshop.trade.coffee.sources import BUTTON_REPEAT_G, BUTTON_WATER_APART_G
from workshop.trade.scales import ScaleKind

BURR_ZERO = "Burr zero has moved: what was pulled before does not count."
_NO_BUTTON = re.compile(r"\b(lever|tap|knob|paddle|dial|rocker)\b", re.IGNORECASE)
MOST_PORTIONS = 3  # more presses for one dose than this nobody does at home. House policy.


@dataclass(frozen=True, slots=True)
class Weighings:
    """Dose trials and runs of buttons of one job, read once, with where the burrs stood."""

    dosing: Dosing
    series: list[Series]


def weighings(job: Job, facts: ProveFacts) -> Weighings | None:
    """Return what was weighed of grinder and buttons: two queries; None for a grinder alone."""
    if facts.dial_in is None:
        return None
    doses = list(DoseTrial.objects.filter(STANDS, job=job).select_related("by").order_by("at", "pk"))
    runs = list(ButtonTrial.objects.filter(STANDS, job=job).select_related("by").order_by("at", "pk"))
    grind = grind_moves.grind_of(facts.dial_in, doses, runs, facts.burrs)
    known = dosing.dosing_of(job.machine.notes, doses, facts.dial_in, grind)
    return Weighings(known, buttons.series_of(runs, grind, facts.dial_in.target.yield_g))


# --- the dose --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class TrialRow:
    """One weighed dose and whether it counts."""

    trial: DoseTrial
    words: str
    grams: str
    state: str
    glyph: str


@dataclass(frozen=True, slots=True)
class Answer:
    """What to set for the dose aimed at, ground in so many portions."""

    portions: str
    each: str
    gives: str
    totals: str
    note: str


def dose_page(facts: ProveFacts, known: Dosing) -> dict[str, Any]:
    """Return what the Dose page shows: the line in words, the answers for the dose aimed at, every trial."""
    if facts.dial_in is None:
        raise ValueError("A grinder alone doses for no shot.")
    target_g = facts.dial_in.target.dose_g
    fit = known.fit
    answers = [_answer(fit, target_g, count) for count in range(1, MOST_PORTIONS + 1)] if fit else []
    return {
        "target": measure(target_g, "g"),
        "answer": _head(known, target_g),
        "line": _line(fit) if fit else "",
        "why": _why(known),
        "answers": [answer for answer in answers if answer is not None],
        "trials": [_row(row, known) for row in reversed(known.trials)],
        "burrs": burrs_words(facts.burrs),
    }


def _head(known: Dosing, target_g: Any) -> str:
    """The answer in one line: what to set for the dose aimed at."""
    fit = known.fit
    if fit is None:
        return "Weigh one short dose and one long one"
    portions = known.counting[-1].portions  # as this machine was ground last
    best = fit.setting_for(target_g, portions)
    if best is None:
        return f"{say_count(portions, 'portion')} cannot give {measure(target_g, 'g')}"
    return _gives(fit, best)


def _gives(fit: DoseFit, dose: Dose) -> str:
    band = f"{number(round(dose.low_g, 1))} to {number(round(dose.high_g, 1))}"
    setting = scales.say(fit.scale, dose.setting)
    gives = f"{setting} gives" if dose.portions == 1 else f"{dose.portions} times {setting} gives"
    return f"{gives} {measure(round(dose.mean_g, 1), 'g')}, {band}"


_MORE = {
    ScaleKind.SECONDS: "second",
    ScaleKind.CLOCK: "hour on the dial",
    ScaleKind.STEPS: "step",
    ScaleKind.GRAMS: "gram",
}


def _line(fit: DoseFit) -> str:
    each = f"Each {_MORE[fit.scale.kind]} more gives {measure(round(fit.rate, 2), 'g')} more"
    start = f", after {measure(round(fit.offset, 1), 's')} of nothing" if _starts_late(fit) else ""
    return f"{each}{start}. From {fit.trials} trials."


def _starts_late(fit: DoseFit) -> bool:
    return fit.scale.kind is ScaleKind.SECONDS and round(fit.offset, 1) > 0


def _why(known: Dosing) -> list[str]:
    """What keeps the line from counting, or asks for another one."""
    said = []
    if known.moved:
        last = known.trials[-1]
        if known.grind.opened_since(last.at):
            said.append("The grinder was opened since: weigh new trials.")
        else:
            said.append(
                f"The grinder stands at {known.grind.now} now, the trials at {last.grind_words}: weigh new ones."
            )
    elif known.trials and known.fit is None:
        said.append(known.why_none)
    if known.drift is not None:
        side = "light" if known.drift is Drift.LIGHT else "heavy"
        said.append(f"Three doses in a row came out {side}: weigh new trials.")
    return said


def _answer(fit: DoseFit, target_g: Any, portions: int) -> Answer | None:
    dose = fit.setting_for(target_g, portions)
    if dose is None:
        return None
    totals = [number(round(grams, 1)) for grams in fit.running_totals_g(dose.setting, portions)]
    band = f"{number(round(dose.low_g, 1))} to {number(round(dose.high_g, 1))}{NBSP}g"
    return Answer(
        portions=str(portions),
        each=scales.say(fit.scale, dose.setting),
        gives=band,
        totals=f"{', then '.join(totals)}{NBSP}g",
        note="" if fit.weighed(dose.setting) else "outside what was weighed",
    )


def _row(row: DoseTrial, known: Dosing) -> TrialRow:
    times = f", {row.portions} times" if row.portions > 1 else ""
    state, glyph = "counts", "full"
    if known.grind.opened_since(row.at):
        state, glyph = "before the grinder was opened", "half"
    elif row not in known.counting:
        state, glyph = f"at grinder {row.grind_words}", "half"
    elif row.topped_up:
        state, glyph = "held on by hand, left out", "na"
    return TrialRow(row, f"{row.length_words}{times}", measure(row.dose_g, "g"), state, glyph)


def burrs_words(burrs: BurrChange | None) -> str:
    """Say when the grinder was last opened, and what that means."""
    if burrs is None:
        return ""
    inner = f"inner setting {burrs.inner_before}, then {burrs.inner_after}"
    return f"Grinder opened {short_day(burrs.at)}: {burrs.why}, {inner}. {BURR_ZERO}"


# --- buttons ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SeriesRow:
    """What one button delivers, and every run it rests on."""

    head: str
    facts: list[str]
    glyph: str
    runs: tuple[ButtonTrial, ...]


def button_names(job: Job) -> list[str]:
    """Return the buttons that stop by themselves, as the model notes call them; a lever or a tap is none."""
    if job.machine.notes.timed_button is None:  # the notes say: none, or a lever
        return []
    rows = job.machine.notes.controls.filter(use__in=(ControlUse.COFFEE, ControlUse.HOT_WATER)).order_by("pk")
    return [label for label in rows.values_list("label", flat=True) if not _NO_BUTTON.search(label)]


def series_rows(series: list[Series]) -> list[SeriesRow]:
    """Return the series newest first: what was delivered, its spread beside what is published, whether it holds."""
    return [_series(each) for each in reversed(series)]


def _series(each: Series) -> SeriesRow:
    result, last = each.result, each.last
    kind = last.get_kind_display().partition(":")[0].lower()
    at = f", grinder at {last.grind_words}" if last.grind_words else ""
    head = f"{last.button}, {kind}, {last.get_runs_with_display().lower()}{at}: {_delivered(each)}"
    glyph = "half" if each.void else "full" if result.verdict is ButtonVerdict.HOLDS else "open"
    return SeriesRow(head, [each.void] if each.void else [_spread(each), _verdict(each)], glyph, each.runs)


def _delivered(each: Series) -> str:
    return measure(round(each.result.mean_g, 1), "g")


def _spread(each: Series) -> str:
    result = each.result
    if result.sd_g is None:
        return "One run: weigh another to see how evenly it pours."
    runs = f"{len(each.runs)} runs {measure(result.spread_g, 'g')} apart, SD {measure(round(result.sd_g, 2), 'g')}."
    if each.with_coffee:
        return f"{runs} Published: within 1 to {number(BUTTON_REPEAT_G.value)}{NBSP}g."
    return f"{runs} Published for water: up to {number(BUTTON_WATER_APART_G.value)}{NBSP}g apart."


_VERDICTS = {
    ButtonVerdict.TOO_FEW_RUNS: "",
    ButtonVerdict.UNEVEN: "Uneven: look at the grind, the puck and the valve before you teach it again.",
    ButtonVerdict.UNDER: "Under the target yield: teach it again, or change the target.",
    ButtonVerdict.OVER: "Over the target yield: teach it again, or change the target.",
    ButtonVerdict.HOLDS: "It holds.",
}


def _verdict(each: Series) -> str:
    return _VERDICTS[each.result.verdict]


@dataclass(frozen=True, slots=True)
class ProvedButton:
    """A button a buyer may rely on: what it delivered, least to most, and whether it stops by the clock."""

    name: str
    words: str
    timed: bool
    gives_g: Decimal  # the mean of its runs


def proved_buttons(series: list[Series], grind_words: str, *, built_in: bool) -> list[ProvedButton]:
    """Return each proved button with what it delivers, in the words of the sheet: never a target."""
    return [_proved(each) for each in buttons.proved(series, grind_words, built_in=built_in)]


def _proved(each: Series) -> ProvedButton:
    result = each.result
    band = f"{number(round(result.low_g, 1))} to {number(round(result.high_g, 1))}"
    kind = each.last.get_kind_display().partition(":")[0].lower()
    words = f"{measure(round(result.mean_g, 1), 'g')}, {band}, {kind}"
    return ProvedButton(each.last.button, words, each.last.kind == ButtonKind.TIMED, result.mean_g)
