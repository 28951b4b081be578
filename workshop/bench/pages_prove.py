"""Prepared rows of the Prove page: what it wants, its cards, how far the shots are."""

from dataclasses import dataclass

from django.urls import reverse

from workshop.bench import cards, say
from workshop.bench.facts.prove import ItemState, ProveFacts, Standing
from workshop.bench.pages_card import card_url, limit_now
from workshop.core.models import Job
from workshop.core.templatetags.measures import number


@dataclass(frozen=True, slots=True)
class ProveRow:
    """One line of what Prove wants: what, limit, found, by, or the link where it is done."""

    code: str
    glyph: str
    glyph_words: str
    what: str
    limit: str
    found: str
    by: str
    url: str
    link_words: str
    unmet: bool
    behind: tuple[str, ...] = ()


_ORDER = (ItemState.FAILED, ItemState.WITHDRAWN, ItemState.OPEN, ItemState.PASSED, ItemState.NOT_POSSIBLE)


def prove_rows(job: Job, facts: ProveFacts) -> list[ProveRow]:
    """Return the items of the set and the recipe's rows: what is unmet first, stop items before others."""
    asked = sorted(facts.asked(), key=lambda s: (_ORDER.index(s.state), not s.item.stop))
    rows = [_row(job, facts, standing) for standing in asked]
    at = sum(1 for row in rows if row.unmet)
    return [*rows[:at], *coffee_rows(job, facts, met=False), *rows[at:], *coffee_rows(job, facts, met=True)]


def _row(job: Job, facts: ProveFacts, standing: Standing) -> ProveRow:
    item, reading = standing.item, standing.reading
    return ProveRow(
        code=item.code,
        glyph="stop" if item.stop and standing.state is ItemState.WITHDRAWN else say.glyph(standing),
        glyph_words=say.glyph_words(standing),
        what=reading.title if reading and standing.done else item.title,
        limit=_limit(job, facts, standing),
        found=_found(standing),
        by=say.by_words(reading.by, reading.at) if reading and standing.done else "",
        url=card_url(job.machine.slug, standing.card, item.code),
        link_words=_link_words(standing),
        unmet=not standing.done,
        behind=_behind(facts, standing),
    )


def _limit(job: Job, facts: ProveFacts, standing: Standing) -> str:
    """Say the limit; that of the water let through rests on earlier units, which the facts do not read."""
    if standing.item.code == "debit" and standing.reading is None:
        limit = limit_now(job, facts, standing.item)[0]
        return limit.words if limit else say.NO_LIMIT
    return say.limit_words(standing, facts.unit)


def _behind(facts: ProveFacts, standing: Standing) -> tuple[str, ...]:
    """Say what a reading rests on; where it is still to do, how long the machine stands first."""
    if standing.reading is not None and standing.state in (ItemState.PASSED, ItemState.FAILED):
        return tuple(say.behind(standing.reading))
    rest = say.rest_words(facts, standing.item)
    return (rest,) if rest else ()


def _found(standing: Standing) -> str:
    if standing.reading is None or standing.state is ItemState.OPEN:
        return "not seen yet" if standing.item.seen else "not measured yet"
    if standing.state is ItemState.WITHDRAWN:
        return "not proved, case opened since"
    return say.found_words(standing.reading)


def _link_words(standing: Standing) -> str:
    if standing.done:
        return ""
    again = " again" if standing.reading else ""
    return f"Look{again}" if standing.item.seen else f"Measure it{again}"


def coffee_rows(job: Job, facts: ProveFacts, *, met: bool) -> list[ProveRow]:
    """Return the row of two shots that agree and the recipe's, those that are met or those that are not."""
    if facts.dial_in is None:
        return []
    name, target = job.machine.slug, facts.dial_in.target
    shots, recipe = reverse("bench:shots", args=[name]), reverse("bench:recipe_set", args=[name])
    pair, holds = facts.dial_in.pair(), facts.recipe_holds()
    window = f"both {number(target.time_low_s)} to {number(target.time_high_s)} s, within 3 s"
    agree = holds or pair is not None
    if holds and facts.recipe:
        found = f"{number(facts.recipe.first_time_s)} s and {number(facts.recipe.time_s)} s"
        by = say.by_words(facts.recipe.set_by, facts.recipe.set_at)
    elif pair is not None:
        found, by = f"{number(pair[0].time_s)} s and {number(pair[1].time_s)} s", say.by_words(pair[1].by, pair[1].at)
    else:
        found, by = "not pulled yet", ""
    words = str(facts.recipe) if holds else "not set yet"
    rows = [
        _coffee("shots", "Two shots in a row", window, found, by, shots, "Pull them", agree),
        _coffee("recipe", "Recipe", "from those two", words, by, recipe, "Set it", holds),
    ]
    return [row for row in rows if row.unmet != met]


def _coffee(code: str, what: str, limit: str, found: str, by: str, url: str, link: str, met: bool) -> ProveRow:
    glyph, words = ("full", "Done:") if met else ("open", "To do:")
    return ProveRow(code, glyph, words, what, limit, found, by if met else "", url, "" if met else link, not met)


@dataclass(frozen=True, slots=True)
class CardLine:
    """A card with how far it is."""

    title: str
    way: str
    url: str
    glyph: str
    words: str


def card_lines(job: Job, facts: ProveFacts) -> list[CardLine]:
    """Return the cards of the set with their progress."""
    lines = []
    for card in facts.cards:
        done = sum(1 for standing in facts.standings(card) if standing.done)
        glyph = "full" if done == len(card.items) else "half" if done else "open"
        words = f"{done} of {len(card.items)} done"
        lines.append(CardLine(card.title, str(card.way), card_url(job.machine.slug, card.code), glyph, words))
    return lines


def shots_line(facts: ProveFacts) -> dict[str, str]:
    """Return how far the test shots are, as a glyph and words."""
    count = len(facts.dial_in.rows) if facts.dial_in else 0
    pulled = f"{count} shot{'' if count == 1 else 's'} pulled"
    if facts.recipe_holds():
        return {"shots_glyph": "full", "shots_words": f"{pulled}, recipe set"}
    return {"shots_glyph": "half" if count else "open", "shots_words": pulled if count else "none pulled yet"}


def more_items(job: Job, facts: ProveFacts) -> list[tuple[str, str]]:
    """Return items outside the set that this workshop could measure, as title and address."""
    inside = {standing.item.code for standing in facts.asked()}
    every = cards.asked(facts.every_card, facts.owned, full=True)
    return [
        (item.title, card_url(job.machine.slug, card.code, item.code))
        for card in every
        for item in card.items
        if item.code not in inside
    ]


def failed(facts: ProveFacts) -> list[dict[str, str]]:
    """Return the failed stop items as a do-not-use tag names them: what, found, by."""
    readings = [s.reading for s in facts.stopped() if s.reading is not None]
    return [{"what": r.title, "found": say.too_words(r), "by": say.by_words(r.by, r.at)} for r in readings]
