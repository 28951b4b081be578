"""What is missing before Prove is finished, in sentences."""

from workshop.bench.facts.prove.spot import repeats
from workshop.bench.facts.prove.standing import ItemState, ProveFacts, Standing
from workshop.core.stations import Unmet
from workshop.core.words import small

PAGE = "bench:prove"
SHOTS_PAGE = "bench:shots"


def unmet(facts: ProveFacts) -> list[Unmet]:
    """Return what is missing before Prove is finished: stop items first, then the rest, then the recipe."""
    asked = [each for each in facts.asked() if not each.done and not (facts.case_open and each.item.shuts_case)]
    missing = [
        _unmet(standing, alone=facts.alone)
        for standing in sorted(asked, key=lambda s: (not s.item.stop, s.item.waits_for_mains))
    ]
    if facts.case_open:
        missing.insert(0, Unmet("case", "Shut the case: the tests count from then.", "bench:mend", "case"))
    return [*missing, *_recipe_missing(facts)] or _spot_check(facts)


def _spot_check(facts: ProveFacts) -> list[Unmet]:
    """A drawn unit is told of it last. Where one person works alone it is asked, and holds nothing up."""
    if facts.spot is None or facts.spot.alone:
        return []
    return [
        Unmet(
            f"spot_{each.standing.item.code}",
            f"Spot-check: {small(each.standing.item.title)} is read again, by another person or on another day.",
            PAGE,
            "spot-check",
        )
        for each in repeats(facts)
        if each.second is None
    ]


def _unmet(standing: Standing, *, alone: bool) -> Unmet:
    item = standing.item
    if standing.wants_second:
        words = f"{item.title}: {second_words(alone=alone)}."
    elif standing.state is ItemState.FAILED:
        words = f"{item.title} failed: mend it, then {'look' if item.seen else 'measure'} again."
        if not item.stop:
            words = f"{item.title} is out of its limit: mend it and read again, or leave it and tell the buyer."
    elif standing.state is ItemState.WITHDRAWN:
        words = f"{item.title}: do it again, the {item.lapses_with} was opened since."
    else:
        words = f"{item.title}: {'look at it' if item.seen else 'measure it'}."
    return Unmet(f"item_{item.code}", words, PAGE, f"item-{item.code}")


def second_words(*, alone: bool) -> str:
    """Say what a second look is; a person who works alone is offered the fresh reading first."""
    if alone:
        return "mains-side work wants a second look, a fresh reading or another person"
    return "mains-side work wants a second look, by another person or afresh"


def _recipe_missing(facts: ProveFacts) -> list[Unmet]:
    if facts.dial_in is None:
        return []
    if facts.recipe_holds():
        return []
    opened = bool(facts.dial_in.set_apart)
    if facts.recipe is not None and not opened:
        return [Unmet("recipe", "A shot changed after the recipe: choose two shots that agree.", SHOTS_PAGE, "recipe")]
    if facts.dial_in.pair() is not None:
        return [Unmet("recipe", "Two shots agree: make them the recipe.", SHOTS_PAGE, "recipe")]
    low, high = facts.dial_in.target.time_low_s, facts.dial_in.target.time_high_s
    words = f"two shots in a row inside {low.normalize():f} to {high.normalize():f} s that agree."
    words = f"Burr zero has moved: pull {words}" if opened else f"Pull {words}"
    return [Unmet("shots", words, SHOTS_PAGE, "next")]
