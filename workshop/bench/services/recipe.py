"""Writers of the recipe."""

from collections.abc import Mapping
from typing import Any

from workshop.bench import dialin
from workshop.bench.models import Recipe, Shot
from workshop.bench.services.prove import open_facts, refuse_unsafe
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.trade.coffee.sources import YIELD_BAND_SHARE

WORDS = (
    "basket",
    "dose_tolerance_g",
    "portions",
    "dose_dial",
    "tamp_cue",
    "lock_in",
    "timed_from",
    "gauge_zone",
    "ready_low_min",
    "ready_high_min",
    "blank_shots",
    "steam_ready_s",
    "back_to_coffee_s",
    "back_to_coffee",
    "left_set_at",
)


def set_recipe(act: Act, job: Job, words: Mapping[str, Any], *, ready_measured: bool = False) -> JournalEntry:
    """Freeze the recipe from the latest two shots in a row that agree; grams, seconds and setting are theirs alone.

    :raises Refused: while no two shots agree, or it is not safe to power
    """
    with acts.once(act):
        facts = open_facts(job)
        refuse_unsafe(facts)
        pair = facts.dial_in.pair() if facts.dial_in else None
        if facts.dial_in is None or pair is None:
            raise Refused("No two shots in a row agree yet. Pull another.")
        first, second = pair
        row = Recipe.objects.create(
            job=job,
            first_shot=first,
            second_shot=second,
            **frozen(facts.dial_in, first, second),
            **{name: words[name] for name in WORDS if name in words},
            ready_measured=ready_measured,
            set_at=act.at,
            set_by=act.by,
        )
        return acts.write(act, "set_recipe", f"Set the recipe: {row}", row, job=job)


def frozen(dial_in: dialin.DialIn, first: Shot, second: Shot) -> dict[str, Any]:
    """Return what a recipe takes from its two shots and the target they were held against."""
    target = dial_in.target
    either_side = target.yield_g * YIELD_BAND_SHARE.value
    return {
        "coffee": str(second.coffee or ""),
        "roasted_on": second.coffee.roasted_on if second.coffee else None,
        "built_in_grinder": second.built_in_grinder,
        "grind_setting": second.setting_words if second.built_in_grinder else "",
        "dose_g": second.dose_g,
        "yield_g": second.yield_g,
        "yield_low_g": round(target.yield_g - either_side, 1),
        "yield_high_g": round(target.yield_g + either_side, 1),
        "time_s": second.time_s,
        "first_time_s": first.time_s,
        "time_low_s": target.time_low_s,
        "time_high_s": target.time_high_s,
    }


def change_recipe(act: Act, recipe: Recipe, version: int, words: Mapping[str, Any]) -> JournalEntry:
    """Put the recipe's words right; what was measured stays. :raises Stale: when it changed meanwhile."""
    with acts.once(act):
        if recipe.struck_at is not None:
            raise Refused("This recipe was taken back. Set a new one.")
        changes = {name: words[name] for name in WORDS if name in words}
        before, after = acts.change(recipe, version, changes)
        return acts.write(
            act, "change_recipe", "Changed words of the recipe", recipe, job=recipe.job, before=before, after=after
        )


def strike_recipe(act: Act, recipe: Recipe) -> JournalEntry:
    """Take a recipe back; an earlier one stands again. :raises Refused: when it was taken back before."""
    with acts.once(act):
        if recipe.struck_at is not None:
            raise Refused("This recipe was taken back already.")
        recipe.struck_at, recipe.struck_by = act.at, act.by
        recipe.save(update_fields=["struck_at", "struck_by"])
        return acts.write(act, "strike_recipe", "Took back the recipe", recipe, job=recipe.job)
