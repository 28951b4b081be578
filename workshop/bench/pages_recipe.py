"""Prepared rows of the recipe: why there is none yet, and the words offered."""

from decimal import Decimal
from typing import Any

from workshop.bench.dialin import DialIn
from workshop.bench.facts.prove import ProveFacts
from workshop.bench.models import Recipe, SealWork
from workshop.bench.models.corrections import STANDS
from workshop.bench.services.recipe import WORDS
from workshop.core.models import Job
from workshop.core.templatetags.measures import number
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


def proposed(job: Job, facts: ProveFacts) -> dict[str, Any]:
    """Return the words of a new recipe: what this unit's own readings say, or an earlier recipe of it, else empty.

    What the model notes say is a hint beside the box (`notes_say`), for the sheet prints what stands here as this
    unit's own. Only how to go about it (blank shots, back to coffee) comes from the notes.
    """
    notes, readings = job.machine.notes, facts.states
    if facts.recipe is not None and recipe_to_change(facts) is not None:
        return {name: getattr(facts.recipe, name) for name in (*WORDS, "version")}
    ready, steam, back = (_value(readings, code) for code in ("ready", "steam_ready", "back_to_coffee"))
    last = facts.recipe
    return {
        "basket": _basket(facts),
        "dose_tolerance_g": last.dose_tolerance_g if last else DOSE_AGREEMENT_G.value,
        "portions": last.portions if last else 1,
        "dose_dial": last.dose_dial if last else "",
        "tamp_cue": last.tamp_cue if last else "",
        "lock_in": _lock_in(job) or (last.lock_in if last else ""),
        "gauge_zone": last.gauge_zone if last else "",
        "ready_low_min": ready if ready is not None else (last.ready_low_min if last else None),
        "ready_high_min": last.ready_high_min if last else None,
        "blank_shots": notes.blank_shots,
        "steam_ready_s": steam,
        "back_to_coffee_s": back,
        "back_to_coffee": notes.back_to_coffee,
    }


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


def recipe_to_change(facts: ProveFacts) -> Recipe | None:
    """Return the standing recipe where it rests on the pair of today: then only its words are put right."""
    pair = facts.dial_in.pair() if facts.dial_in else None
    recipe = facts.recipe if facts.recipe_holds() else None
    if recipe is None or pair is None:
        return recipe
    return recipe if recipe.second_shot_id == pair[1].pk else None


def _value(states: Any, code: str) -> Decimal | None:
    standing = states.get(code)
    return standing.reading.value if standing is not None and standing.reading is not None else None


def _basket(facts: ProveFacts) -> str:
    return facts.dial_in.rows[-1].basket if facts.dial_in and facts.dial_in.rows else ""


def _lock_in(job: Job) -> str:
    mine = SealWork.objects.filter(STANDS, job=job, position__is_group=True)
    answered = mine.exclude(lock_in_clock="").order_by("-pk").first()
    return answered.lock_in_clock if answered else ""


def left_set_at(facts: DialIn) -> str:
    """Return where the grinder stands now: the last shot's setting."""
    return facts.rows[-1].setting_words if facts.rows else ""
