"""Writers of the recipe."""

from collections.abc import Collection, Mapping
from typing import Any

from workshop.bench import dialin, recipe_rule, recipe_words
from workshop.bench.models import Recipe, Shot
from workshop.bench.services.prove import open_facts, refuse_unsafe
from workshop.bench.words import WhoseGrinder
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry

WORDS = (
    "basket",
    "dose_tolerance_g",
    "portions",
    "selector",
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


def set_recipe(act: Act, job: Job, words: Mapping[str, Any], *, shots: Collection[int] = ()) -> JournalEntry:
    """Freeze the recipe from shots in a row that agree; grams, seconds and setting are theirs alone.

    What Prove measured (ready, first steam, back to coffee) is taken as measured, whatever the words say.

    :param shots: ids of the shots pressed; none takes the latest two that agree
    :raises Refused: while no two shots agree, when the pressed ones break the rule, or it is not safe to power
    """
    with acts.once(act):
        facts = open_facts(job)
        refuse_unsafe(facts)
        if facts.dial_in is None:
            raise Refused("A grinder alone pulls no shots.")
        first, last = _run(facts.dial_in, shots)
        known = recipe_rule.measured(facts)
        row = Recipe.objects.create(
            job=job,
            first_shot=first,
            second_shot=last,
            **frozen(facts.dial_in, first, last),
            **_grinder(last, words),
            **_on_scales(job, {name: words[name] for name in WORDS if name in words}) | known,
            ready_measured="ready_low_min" in known,
            set_at=act.at,
            set_by=act.by,
        )
        return acts.write(act, "set_recipe", f"Set the recipe: {row}", row, job=job)


def _on_scales(job: Job, words: Mapping[str, Any]) -> dict[str, Any]:
    """Return the words, dose and gauge read on their scales. :raises Refused: beside the box that is not so."""
    read = dict(words)
    for name, on_scale in (("dose_dial", recipe_words.dose_dial), ("gauge_zone", recipe_words.gauge_zone)):
        if not read.get(name):
            continue
        try:
            read[name] = on_scale(read[name], job.machine.notes)
        except ValueError as wrong:
            raise Refused(str(wrong), field=name) from wrong
    return read


def _run(dial_in: dialin.DialIn, shots: Collection[int]) -> tuple[Shot, Shot]:
    """Return the first and the last shot of the run. :raises Refused: naming the shot that breaks the rule."""
    if not shots:
        pair = dial_in.pair()
        if pair is None:
            raise Refused("No two shots in a row agree yet. Pull another.")
        return pair
    if reasons := recipe_rule.refusals(dial_in, shots):
        raise Refused(*reasons, field="shots")
    run = [row for row in dial_in.rows if row.pk in shots]
    return run[0], run[-1]


def _grinder(last: Shot, words: Mapping[str, Any]) -> dict[str, str]:
    """Whose grinder it was, and its number where the buyer gets that grinder: never our own one's."""
    if last.built_in_grinder:
        return {"grinder": WhoseGrinder.BUILT_IN, "grind_setting": last.setting_words}
    if words.get("grinder") == WhoseGrinder.BUYERS:
        return {"grinder": WhoseGrinder.BUYERS, "grind_setting": last.setting_words}
    return {"grinder": WhoseGrinder.OURS, "grind_setting": ""}


def frozen(dial_in: dialin.DialIn, first: Shot, last: Shot) -> dict[str, Any]:
    """Return what a recipe takes from its shots and the target they were held against."""
    target = dial_in.target
    low_g, high_g = recipe_rule.yield_band_g(target.yield_g)
    return {
        "coffee": str(last.coffee or ""),
        "roasted_on": last.coffee.roasted_on if last.coffee else None,
        "dose_g": last.dose_g,
        "yield_g": last.yield_g,
        "yield_low_g": low_g,
        "yield_high_g": high_g,
        "time_s": last.time_s,
        "first_time_s": first.time_s,
        "time_low_s": target.time_low_s,
        "time_high_s": target.time_high_s,
    }


def change_recipe(act: Act, recipe: Recipe, version: int, words: Mapping[str, Any]) -> JournalEntry:
    """Put the recipe's words right; what was measured stays. :raises Stale: when it changed meanwhile."""
    with acts.once(act):
        if recipe.struck_at is not None:
            raise Refused("This recipe was taken back. Set a new one.")
        typed = {name: words[name] for name in WORDS if name in words}
        changes = typed | _on_scales(recipe.job, {n: v for n, v in typed.items() if v != getattr(recipe, n)})
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
