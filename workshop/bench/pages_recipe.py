"""Prepared rows of the recipe: the shots to press, why there is none yet, what was measured, the words offered."""

from collections.abc import Collection
from decimal import Decimal
from typing import Any

from workshop.bench import dosing, pages_dose, recipe_rule
from workshop.bench.dialin import DialIn
from workshop.bench.facts.prove import ProveFacts
from workshop.bench.models import Recipe, SealWork, Shot
from workshop.bench.models.corrections import STANDS
from workshop.bench.pages_dose import ProvedButton, Weighings
from workshop.bench.pages_shots import VERDICT_WORDS, left_out_word
from workshop.bench.services.recipe import WORDS
from workshop.bench.words import TimedFrom
from workshop.core.models import Job
from workshop.core.templatetags.measures import measure, number
from workshop.core.words import listed
from workshop.trade.coffee import verdict
from workshop.trade.coffee.sources import DOSE_AGREEMENT_G
from workshop.trade.coffee.verdict import WhyNot


def why_not(facts: DialIn) -> list[str]:
    """Return, in sentences, what keeps the last two usable shots from being a recipe."""
    low, high = number(facts.target.time_low_s), number(facts.target.time_high_s)
    sentences: dict[WhyNot, str] = {
        WhyNot.TOO_FEW_SHOTS: "Two usable shots in a row are wanted.",
        WhyNot.OUTSIDE_TIME: f"Both must run {low} to {high} s.",
        WhyNot.DO_NOT_AGREE: "They must agree within 3 s.",
        WhyNot.SETTING_MOVED: "Both must be pulled at one grinder setting.",
        WhyNot.OUTSIDE_YIELD: "Both must weigh out inside the yield band.",
        WhyNot.DOSES_DIFFER: "Both must be dosed alike, within half a gram.",
    }
    return [sentences[reason] for reason in facts.why_not()]


def to_press(facts: DialIn) -> list[tuple[str, str]]:
    """Return the shots a recipe may be chosen from, newest first: the id, and the shot in words."""
    return [(str(row.pk), _said(row, facts)) for row in reversed(facts.rows)]


def _said(row: Shot, facts: DialIn) -> str:
    shot = f"Shot {row.number}, grinder at {row.setting_words}: {measure(row.dose_g, 'g')} in"
    if row.yield_g == 0:
        return f"{shot}, choked"
    verdict_ = (
        left_out_word(row)
        if row.spoilt
        else "two-wall"
        if row.pressurised
        else VERDICT_WORDS[verdict.verdict(row.time_s, facts.target)]
    )
    return f"{shot}, {measure(row.yield_g, 'g')} out, {measure(row.time_s, 's')}, {verdict_}"


def rests_on(recipe: Recipe, facts: DialIn) -> str:
    """Say which shots a recipe rests on, with their seconds."""
    run = facts.run(recipe)
    numbers, times = ([f"{row.number}" for row in run], [number(row.time_s) for row in run])
    return f"From shots {listed(numbers)}: {listed(times)}\u00a0s." if run else ""


_MEASURED_WORDS = {
    "ready_low_min": ("ready after", "min"),
    "steam_ready_s": ("first steam after", "s"),
    "back_to_coffee_s": ("back to coffee after", "s"),
}


def measured(facts: ProveFacts, standing: Recipe | None) -> dict[str, Decimal]:
    """Return what Prove read and the recipe takes as read, by column; of a standing recipe, what it took."""
    found = recipe_rule.measured(facts)
    return {name: value for name, value in found.items() if standing is None or getattr(standing, name) == value}


def measured_rows(known: dict[str, Decimal], proved: list[ProvedButton]) -> list[tuple[str, str]]:
    """Return what was measured on this machine in words: label and value; buttons with what they deliver."""
    rows = [(_MEASURED_WORDS[name][0], measure(value, _MEASURED_WORDS[name][1])) for name, value in known.items()]
    return [*rows, *((f"button {each.name}", each.words) for each in proved)]


def buttons(facts: ProveFacts, weighed: Weighings | None, recipe: Recipe | None) -> list[ProvedButton]:
    """Return the proved buttons at the grind of a recipe, or at the grind of now before there is one."""
    if facts.dial_in is None or weighed is None:
        return []
    at = recipe.second_shot.setting_words if recipe is not None else weighed.dosing.grind.now
    return pages_dose.proved_buttons(weighed.series, at, built_in=facts.dial_in.built_in)


def proposed(job: Job, facts: ProveFacts, weighed: Weighings | None = None, *, again: bool = False) -> dict[str, Any]:
    """Return the words of a new recipe: what this unit's own readings say, or an earlier recipe of it, else empty.

    What the model notes say is a hint beside the box (`notes_say`), for the sheet prints what stands here as this
    unit's own. Only how to go about it (blank shots, back to coffee) comes from the notes.
    """
    notes, known = job.machine.notes, recipe_rule.measured(facts)
    if facts.recipe is not None and not again and recipe_to_change(facts) is not None:
        return {name: getattr(facts.recipe, name) for name in (*WORDS, "version")}
    last = facts.recipe
    dial = dosing.dial_for(weighed.dosing, facts.dial_in) if weighed and facts.dial_in else None
    pair = facts.dial_in.pair() if facts.dial_in else None
    return {
        "shots": [row.pk for row in pair or ()],
        "left_set_at": left_set_at(facts.dial_in) if facts.dial_in else "",
        "selector": last.selector if last else "",
        "timed_from": last.timed_from if last else TimedFrom.PUMP_ON,
        "basket": _basket(facts),
        "dose_tolerance_g": last.dose_tolerance_g if last else DOSE_AGREEMENT_G.value,
        "portions": dial.portions if dial else last.portions if last else 1,
        "dose_dial": dial.length_words if dial else last.dose_dial if last else "",
        "tamp_cue": last.tamp_cue if last else "",
        "lock_in": _lock_in(job) or (last.lock_in if last else ""),
        "gauge_zone": gauge_zone(pair or ()) or (last.gauge_zone if last else ""),
        "ready_low_min": last.ready_low_min if last else None,
        "ready_high_min": last.ready_high_min if last else None,
        "blank_shots": notes.blank_shots,
        "back_to_coffee": notes.back_to_coffee,
        **known,
    }


def gauge_zone(rows: Collection[Shot]) -> str:
    """Say where the gauge's needle stood in these shots: its zone in clock words, or its lowest and highest bar."""
    zones = [(row.gauge_from, row.gauge_to) for row in rows]
    words = dict.fromkeys(f"{low} to {high}" if high else low for low, high in zones if low)
    if words:
        return next(iter(words)) if len(words) == 1 else ""  # two zones: the person says which one is usual
    bars = [bar for bar in (row.gauge_bar for row in rows) if bar is not None]
    if not bars:
        return ""
    return " to ".join(dict.fromkeys(number(bar) for bar in (min(bars), max(bars)))) + "\u00a0bar"


def notes_say(job: Job) -> dict[str, str]:
    """Return what the model notes say of words the recipe wants of this unit, by the name of the box."""
    notes = job.machine.notes
    low, high = notes.warm_up_low_min, notes.warm_up_high_min
    minutes = " to ".join(number(each) for each in (low, high) if each is not None)
    says = {
        "tamp_cue": notes.tamp_cue,
        "gauge_zone": f"{notes.gauge_from} to {notes.gauge_to}" if notes.has_gauge and notes.gauge_from else "",
        "ready_low_min": f"{minutes} min" if minutes else "",
    }
    return {name: f"The model notes say {words}. Type what this one does." for name, words in says.items() if words}


def weighed_says(weighed: Weighings | None) -> dict[str, str]:
    """Return the newest dose weighed since the grinder was last opened, said beside the box of the dose."""
    if weighed is None:
        return {}
    known = weighed.dosing
    rows = [row for row in known.trials if not row.topped_up and not known.grind.opened_since(row.at)]
    if not rows:
        return {}
    last = rows[-1]
    times = f"{last.portions} times " if last.portions > 1 else ""
    said = f"{times}{last.length_words} gave {measure(last.dose_g, 'g')} at grinder {last.grind_words}"
    return {"dose_dial": f"Weighed last: {said}."}


def recipe_to_change(facts: ProveFacts) -> Recipe | None:
    """Return the standing recipe where it rests on the pair of today: then only its words are put right."""
    pair = facts.dial_in.pair() if facts.dial_in else None
    recipe = facts.recipe if facts.recipe_holds() else None
    if recipe is None or pair is None:
        return recipe
    return recipe if recipe.second_shot_id == pair[1].pk else None


def _basket(facts: ProveFacts) -> str:
    return facts.dial_in.rows[-1].basket if facts.dial_in and facts.dial_in.rows else ""


def _lock_in(job: Job) -> str:
    mine = SealWork.objects.filter(STANDS, job=job, position__is_group=True)
    answered = mine.exclude(lock_in_clock="").order_by("-pk").first()
    return answered.lock_in_clock if answered else ""


def left_set_at(facts: DialIn) -> str:
    """Return where the grinder stands now: the last shot's setting."""
    return facts.rows[-1].setting_words if facts.rows else ""
