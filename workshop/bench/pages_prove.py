"""Prepared rows of the Prove page: what it wants, its cards, how far the shots are."""

from dataclasses import dataclass
from decimal import Decimal

from django.urls import reverse

from workshop.bench import cards, say
from workshop.bench.facts.prove import ItemState, ProveFacts, Repeat, Standing, repeats, unmet
from workshop.bench.pages_card import card_url, limit_now
from workshop.core.models import Job, Reading
from workshop.core.templatetags.measures import day, measure, number
from workshop.core.words import full_stop
from workshop.trade.coffee.series import series_stats


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
    how: str = ""


_ORDER = (ItemState.FAILED, ItemState.WITHDRAWN, ItemState.OPEN, ItemState.PASSED, ItemState.NOT_POSSIBLE)


_READ = (ItemState.FAILED, ItemState.PASSED)


def prove_rows(job: Job, facts: ProveFacts) -> list[ProveRow]:
    """Return the items of the set and the recipe's rows: what is unmet first, stop items before others."""
    asked = sorted(facts.asked(), key=lambda s: (s.done, _ORDER.index(s.state), not s.item.stop))
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
        by=say.looks_by(standing) if standing.done else "",
        url=card_url(job.machine.slug, standing.card, item.code),
        link_words=_link_words(standing),
        unmet=not standing.done,
        behind=_behind(facts, standing),
        how=say.how_words(reading, standing.limit) if reading and standing.state in _READ else "",
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
        return f"not proved, {standing.item.lapses_with} opened since"
    return f"{say.looks_words(standing)}{', second look wanted' if standing.wants_second else ''}"


def _link_words(standing: Standing) -> str:
    if standing.done or standing.wants_second:
        return "" if standing.done else "Look a second time"
    again = " again" if standing.reading else ""
    return f"Look{again}" if standing.item.seen else f"Measure it{again}"


def coffee_rows(job: Job, facts: ProveFacts, *, met: bool) -> list[ProveRow]:
    """Return the row of two shots that agree and the recipe's, those that are met or those that are not."""
    if facts.dial_in is None:
        return []
    name, target = job.machine.slug, facts.dial_in.target
    shots, recipe = reverse("bench:shots", args=[name]), reverse("bench:recipe_set", args=[name])
    set_ = facts.recipe if facts.recipe_holds() else None
    run = facts.dial_in.run(set_) if set_ else [*(facts.dial_in.pair() or ())]
    window = f"both {number(target.time_low_s)} to {number(target.time_high_s)} s, within 3 s"
    found = f"{number(run[0].time_s)} s and {number(run[-1].time_s)} s" if run else "not pulled yet"
    by = say.by_words(run[-1].by, run[-1].at) if run else ""  # the day they were pulled, whenever the recipe was set
    words, set_by = (str(set_), say.by_words(set_.set_by, set_.set_at)) if set_ else ("not set yet", "")
    rows = [
        _coffee("shots", "Two shots in a row", window, found, by, shots, "Pull them", bool(run)),
        _coffee("recipe", "Recipe", "from those two", words, set_by, recipe, "Set it", set_ is not None),
    ]
    if not run:
        rows = rows[:1]  # one thing to do at a time, as the sentences count: the recipe comes from the two
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


def limits_words(facts: ProveFacts) -> str:
    """Say which limits this machine is held against, and since when."""
    profile, since = facts.kept.profile, facts.kept.since
    words = f"Electrical limits: {profile.title}, {profile.edition}"
    return f"{words}, as they stood on {day(since)}." if since else f"{words}."


def set_words(facts: ProveFacts) -> str:
    """Say which set is asked, and why; without the amount, for not everybody sees prices."""
    if facts.touched:
        return "Full set: boiler, pump or wiring was touched."
    if facts.full_because:
        return full_stop(f"Full set: {facts.full_because}")
    price = ", or when it is priced at our figure for it or above" if facts.full_by_price else ""
    return f"Short set. It becomes the full set when boiler, pump or wiring is touched{price}."


@dataclass(frozen=True, slots=True)
class SpotRow:
    """One reading of a drawn unit beside its repeat, and how far apart they are."""

    title: str
    glyph: str
    glyph_words: str
    first: str
    first_by: str
    second: str
    second_by: str
    apart: str
    url: str


def spot_rows(job: Job, facts: ProveFacts) -> list[SpotRow]:
    """Return the readings a drawn unit repeats, side by side: told once nothing else is missing."""
    missing = [each for each in unmet(facts) if not each.code.startswith("spot_")]
    return [] if missing else [spot_row(job, each) for each in repeats(facts)]


def spot_row(job: Job, each: Repeat) -> SpotRow:
    """Return one reading beside its repeat; empty where it is not repeated yet."""
    item, first, second = each.standing.item, each.first, each.second
    return SpotRow(
        title=item.title,
        glyph="full" if second else "open",
        glyph_words="Done:" if second else "To do:",
        first=say.found_words(first),
        first_by=say.by_words(first.by, first.at),
        second=say.found_words(second) if second else "not repeated yet",
        second_by=say.by_words(second.by, second.at) if second else "",
        apart=_apart(first, second) if second else "",
        url="" if second else card_url(job.machine.slug, each.standing.card, item.code, "&second=1"),
    )


def _apart(first: Reading, second: Reading) -> str:
    """Say how far apart two readings are; two things seen are the same or not."""
    if first.value is None or second.value is None:
        return "the same" if first.state == second.state else "not the same"
    before, then = _middle(first, first.value), _middle(second, second.value)
    if before == then:
        return "the same"
    mean = " in the mean" if first.series else ""
    return f"{measure(abs(then - before), first.unit)} {'more' if then > before else 'less'}{mean}"


def _middle(reading: Reading, value: Decimal) -> Decimal:
    """Return what two readings are told apart by: the mean of a series, one figure finer than it was read."""
    if not reading.series:
        return value
    values = [Decimal(each) for each in reading.series]
    return round(series_stats(values).mean, 2)


def failed(facts: ProveFacts) -> list[dict[str, str]]:
    """Return the failed stop items as a do-not-use tag names them: what, found, by; `label` says it in one line."""
    readings = [s.reading for s in facts.stopped() if s.reading is not None]
    return [_failed(reading) for reading in readings]


def _failed(reading: Reading) -> dict[str, str]:
    by, what = say.reading_by(reading), reading.title.removesuffix(", outside report")
    return {"what": reading.title, "found": say.too_words(reading), "by": by, "label": f"{what} failed. {by}"}
