"""What is missing before Prove is finished, in sentences."""

from workshop.bench.facts.prove.standing import ItemState, ProveFacts, Standing
from workshop.core.stations import Unmet

PAGE = "bench:prove"
SHOTS_PAGE = "bench:shots"


def unmet(facts: ProveFacts) -> list[Unmet]:
    """Return what is missing before Prove is finished: stop items first, then the rest, then the recipe."""
    asked = [standing for standing in facts.asked() if not standing.done]
    missing = [_unmet(standing) for standing in sorted(asked, key=lambda s: (not s.item.stop, s.item.needs_mains))]
    if facts.case_open:
        missing.insert(0, Unmet("case", "Shut the case: the tests count from then.", "bench:mend", "case"))
    return [*missing, *_recipe_missing(facts)]


def _unmet(standing: Standing) -> Unmet:
    item = standing.item
    if standing.state is ItemState.FAILED:
        words = f"{item.title} failed: mend it, then {'look' if item.seen else 'measure'} again."
        if not item.stop:
            words = f"{item.title} is out of its limit: mend it and read again, or leave it and tell the buyer."
    elif standing.state is ItemState.WITHDRAWN:
        words = f"{item.title}: do it again, the case was opened since."
    else:
        words = f"{item.title}: {'look at it' if item.seen else 'measure it'}."
    return Unmet(f"item_{item.code}", words, PAGE, f"item-{item.code}")


def _recipe_missing(facts: ProveFacts) -> list[Unmet]:
    if facts.dial_in is None:
        return []
    if facts.recipe_holds():
        return []
    opened = bool(facts.dial_in.earlier)
    if facts.recipe is not None and not opened:
        return [Unmet("recipe", "A shot changed after the recipe: choose two shots that agree.", SHOTS_PAGE, "recipe")]
    if facts.dial_in.pair() is not None:
        return [Unmet("recipe", "Two shots agree: make them the recipe.", SHOTS_PAGE, "recipe")]
    low, high = facts.dial_in.target.time_low_s, facts.dial_in.target.time_high_s
    words = f"two shots in a row inside {low.normalize():f} to {high.normalize():f} s that agree."
    words = f"Burr zero has moved: pull {words}" if opened else f"Pull {words}"
    return [Unmet("shots", words, SHOTS_PAGE, "next")]
