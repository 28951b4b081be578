"""Prepared rows of one bench card: its item, limit, ruler, what blocks it, and the card's list."""

from dataclasses import dataclass, field, replace
from datetime import date

from django.urls import reverse
from django.utils import timezone

from workshop.bench import limits, say
from workshop.bench.card_items.steam import STEAM_POWER
from workshop.bench.card_items.water import FIRST_CYCLE, SECOND_CYCLE
from workshop.bench.cards import Card, Item
from workshop.bench.facts import clean as clean_facts
from workshop.bench.facts import prove as prove_facts
from workshop.bench.facts.prove import AGAIN_CARD, SAFE_CARD, ItemState, ProveFacts, Standing
from workshop.bench.limits import BenchLimit
from workshop.bench.ruler import Ruler, ruler
from workshop.bench.services.prove import usual_ml
from workshop.core.models import Job
from workshop.core.templatetags.measures import clock, short_day
from workshop.core.words import Outcome
from workshop.trade.safety.cautions import Caution, Trigger, for_trigger

SCALDS = ("steam_ready", STEAM_POWER, "brew_water", "hot_water")
OPENS_CASE = "Your answer says that the case is open now: electrical and leak readings are asked again once it is shut."


def card_url(name: str, card: str, item: str = "", more: str = "") -> str:
    """Return the address of a card, at one of its items."""
    url = reverse("bench:card", args=[name, card])
    return f"{url}?item={item}{more}" if item else url


def after_url(name: str, card: str, item: str, outcome: str) -> str:
    """Return where a recorded reading leads: a failed one stays on the screen with its fork, else the card goes on."""
    return card_url(name, card, item if outcome == Outcome.FAIL else "")


@dataclass(frozen=True, slots=True)
class ListRow:
    """One item in the card's list, and as a ring in its head."""

    code: str
    title: str
    glyph: str
    glyph_words: str
    found: str
    saved: str
    url: str
    now: bool
    reading_pk: int | None
    behind: list[str]

    @property
    def heard(self) -> str:
        """Return what its ring says to who does not see it: its state and the item."""
        return f"{self.glyph_words} {self.title}"

    @property
    def copper(self) -> bool:
        """Say whether its ring is the copper half ring of what is being done; a stop is never a hue."""
        return self.now and self.glyph == "half"


@dataclass(frozen=True, slots=True)
class CardPage:
    """Everything one bench card shows."""

    card: Card
    item: Item
    standing: Standing
    rows: list[ListRow]
    done: int
    limit: BenchLimit | None
    limit_missing: str
    ruler: Ruler | None
    failed: str
    blocked: "Blocked | None"
    last: ListRow | None
    already: str
    later_url: str
    next_url: str
    next_words: str
    all_done: bool
    again: bool
    second: str
    caution: Caution | None
    rest: str = ""
    withdrawn: str = ""
    opens_case: str = ""
    undo_version: int = 0
    url: str = ""  # of this item: where a photo taken for it leads back to
    total: int = field(default=0)


def choose(facts: ProveFacts, card: Card, wanted: str) -> Standing:
    """Return the item asked for, else the first that is not done and can be done, else the first.

    Second looks come after all that was not looked at once: the minute between the two passes by itself.
    """
    standings = facts.standings(card)
    asked = facts.states.get(wanted)
    if asked is not None and asked.card == card.code:
        return asked
    open_ = sorted((each for each in standings if not each.done), key=lambda each: each.wants_second)
    can = [each for each in open_ if facts.can(each.item)]
    return next(iter([*can, *open_, *standings]))


def card_page(
    job: Job, facts: ProveFacts, card: Card, wanted: str, *, again: bool, second: bool, today: date
) -> CardPage:
    """Return the card at one item. A failed item shows its fork until it is measured again.

    `second`: it is looked at a second time.
    """
    standing = choose(facts, card, wanted)
    item = standing.item
    shown = _on_card(facts, card, standing)
    done = sum(1 for each in shown if each.done)
    all_done = done == len(shown) and not wanted
    rows = [_list_row(job, each, None if all_done else item, today) for each in shown]
    limit, missing = limit_now(job, facts, item)
    failed = standing.state is ItemState.FAILED and standing.reading is not None and not again
    next_card = _next_card(job, facts, card, ready=all_done)
    last = _last(shown, rows, item)
    return CardPage(
        card=card,
        item=item,
        standing=standing,
        rows=rows,
        done=done,
        total=len(rows),
        limit=limit,
        limit_missing=missing,
        ruler=ruler(limit, outside="stop" if item.stop else "outside", unit=item.unit) if limit else None,
        failed=say.too_words(standing.reading) if failed and standing.reading else "",
        blocked=_blocked(job, facts, item),
        last=last,
        already=_already(standing, today) if not failed and not second else "",
        undo_version=last.reading_pk or 0 if last else 0,
        later_url=_later(job, facts, card, item),
        next_url=next_card[0],
        next_words=next_card[1],
        all_done=all_done,
        url=card_url(job.machine.slug, card.code, item.code),
        again=again,
        second=_second(standing) if second else "",
        caution=_caution(facts, item),
        opens_case=OPENS_CASE if item.opens_case and not facts.case_open else "",
        rest=_rest(facts, item),
        withdrawn=withdrawn_words(facts, item) if standing.state is ItemState.WITHDRAWN else "",
    )


def _rest(facts: ProveFacts, item: Item) -> str:
    """Say how long the machine stands cold, on whichever item would heat it before that."""
    waiting = next((s.item for s in facts.states.values() if s.item.rest and not s.done), None)
    return say.rest_words(facts, waiting) if waiting and item.waits_for_mains else ""


def _on_card(facts: ProveFacts, card: Card, now: Standing) -> list[Standing]:
    """Return the items of the set, and of those outside it what was read all the same or is being read now."""
    inside = facts.standings(card)
    more = [s for s in facts.states.values() if s.card == card.code and (s.reading is not None or s is now)]
    return [*inside, *(each for each in more if each not in inside)]


def _second(standing: Standing) -> str:
    """Say that it is a second look and whose the first was; short, so that Record stays in view on a phone."""
    first = standing.looks[0] if standing.looks else standing.reading
    return f"Second look. {first.by} took the first, {short_day(first.at)} {clock(first.at)}." if first else ""


def limit_now(job: Job, facts: ProveFacts, item: Item) -> tuple[BenchLimit | None, str]:
    """Return the limit of an item as it stands now, and the sentence of the fact it lacks."""
    if item.seen:
        words = limits.seen_limit(item)
        return BenchLimit(None, None, words, "Limit" if words == "none" else "It must be"), ""
    try:
        return limits.limit_for(item, facts.unit, usual_ml(job.machine) if item.code == "debit" else None), ""
    except limits.MissingFact as missing:
        return None, str(missing)


@dataclass(frozen=True, slots=True)
class Blocked:
    """Why an item cannot be done yet, and where that is mended."""

    words: str
    url: str
    link_words: str
    lines: tuple[str, ...] = ()
    title: str = "Not yet"


def _blocked(job: Job, facts: ProveFacts, item: Item) -> Blocked | None:
    """Mains waits for safe to power; what lapses with the case waits until it is shut."""
    if facts.case_open and item.case_sensitive and not item.shuts_case:
        words = "The case is open: what is read now does not count once it is shut."
        return Blocked(words, reverse("bench:mend", args=[job.machine.slug]) + "#case", "Shut the case first")
    found = no_mains(job, facts, item) if item.waits_for_mains else None
    return found or _too_early(job, facts, item)


def _too_early(job: Job, facts: ProveFacts, item: Item) -> Blocked | None:
    first = facts.first_of(item)
    if not first:
        return None
    url = card_url(job.machine.slug, first[0].card, first[0].item.code)
    return Blocked(say.first_words(first), url, "Go to the first")


def no_mains(job: Job, facts: ProveFacts, item: Item | None = None) -> Blocked | None:
    """Return what forbids acts with mains (reading this item), or None once it is safe to power and nothing failed."""
    if facts.may_power(item):
        return None
    lines, failed = tuple(say.unsafe_lines(facts, item)), facts.stopped(item)
    if facts.recalled and not failed:
        url = reverse("intake:intake", args=[job.machine.slug]) + "#recall"
        return Blocked(say.NOT_SAFE, url, "See the look-up", lines, "Stop")
    if not failed:
        card = facts.before_power()[0].card
        words = "Go to Safe to power" if card == SAFE_CARD else "Go to the card"
        return Blocked(say.NOT_SAFE, card_url(job.machine.slug, card), words, lines)
    first = failed[0]
    url = card_url(job.machine.slug, first.card, first.item.code)
    return Blocked(say.NOT_SAFE, url, "Go to what failed", lines, "Stop")


def not_safe(job: Job) -> Blocked | None:
    """Return what forbids descaling; where nothing failed it leads to the first card with something to do."""
    facts = prove_facts.facts([job.pk])[job.pk]
    found = no_mains(job, facts)
    if found is None or facts.stopped() or facts.recalled:
        return found
    return replace(found, url=next_url(job, facts), link_words="Go to the card")


def withdrawn_words(facts: ProveFacts, item: Item) -> str:
    """Say when the case, or the grinder, was opened after a test; nothing while the case stands open."""
    if item.grinder_sensitive and facts.burrs is not None:
        at = facts.burrs.at
        return f"The grinder was opened {short_day(at)} at {clock(at)}, after the test: {facts.burrs.why.rstrip('.')}."
    opened = facts.opened
    if opened is None or facts.case_open:
        return ""
    return f"The case was opened {short_day(opened.opened_at)} at {clock(opened.opened_at)}, after the test."


def _caution(facts: ProveFacts, item: Item) -> Caution | None:
    if item.opens_case:
        return for_trigger(Trigger.WORK_OPENED)[0]
    if item.code == "earth" and not facts.states["earth"].done:
        return for_trigger(Trigger.EARTH_NOT_PROVED)[0]
    if item.measure is not None and item.needs_mains:
        return for_trigger(Trigger.INSULATION_AT_250_V)[0]
    if item.code in ("pressure", "relief", "leak_hot", FIRST_CYCLE, SECOND_CYCLE):
        return for_trigger(Trigger.BOILER_CHOSEN)[0]
    return for_trigger(Trigger.BOILER_CHOSEN)[1] if item.code in SCALDS else None


def _list_row(job: Job, standing: Standing, current: Item | None, today: date) -> ListRow:
    reading = standing.last
    here = current is not None and standing.item.code == current.code
    shown = reading is not None and standing.state is not ItemState.WITHDRAWN
    return ListRow(
        code=standing.item.code,
        title=standing.item.title,
        glyph="half" if here and not standing.done and standing.state is not ItemState.FAILED else _glyph(standing),
        glyph_words=say.glyph_words(standing),
        found=say.looks_words(standing) if shown else "",
        saved=say.saved_words(reading, today) if reading and shown else "",
        url=card_url(job.machine.slug, standing.card, standing.item.code),
        now=here,
        reading_pk=reading.pk if reading and shown else None,
        behind=say.behind(reading) if reading and shown else [],
    )


def _glyph(standing: Standing) -> str:
    return "open" if standing.state is ItemState.WITHDRAWN else say.glyph(standing)


def _already(standing: Standing, today: date) -> str:
    """Say what an item was answered with, to whoever comes back to it."""
    reading = standing.reading
    if reading is None or standing.state is ItemState.WITHDRAWN:
        return ""
    day = "" if timezone.localdate(reading.at) == today else f"{short_day(reading.at)} "
    return f"Already: {say.found_words(reading)}, {reading.by} {day}{say.entered(reading)}"


def _last(standings: list[Standing], rows: list[ListRow], item: Item) -> ListRow | None:
    """Return what Undo takes back: the newest reading of the item on screen, else the last thing done on the card."""
    here = next((row for row in rows if row.code == item.code and row.now and row.reading_pk is not None), None)
    if here is not None:
        return here
    read = [
        (standing.last.at, standing.last.pk, row)
        for standing, row in zip(standings, rows, strict=True)
        if standing.last is not None and row.reading_pk is not None
    ]
    return max(read, key=lambda each: each[:2])[2] if read else None


def _later(job: Job, facts: ProveFacts, card: Card, item: Item) -> str:
    codes = [each.code for each in card.items]
    at = codes.index(item.code) if item.code in codes else -1
    order = [*codes[at + 1 :], *codes[: max(at, 0)]]
    found = next((code for code in order if not facts.states[code].done), "")
    return card_url(job.machine.slug, card.code, found) if found else ""


def _next_card(job: Job, facts: ProveFacts, card: Card, *, ready: bool = False) -> tuple[str, str]:
    if ready and card.code in (SAFE_CARD, AGAIN_CARD) and clean_facts.facts([job.pk])[job.pk].waits_for_acid:
        return reverse(clean_facts.PAGE, args=[job.machine.slug]), "Next: Clean and descale"
    at = facts.cards.index(card) if card in facts.cards else len(facts.cards)
    for each in (*facts.cards[at + 1 :], *facts.cards[:at]):
        if not all(standing.done for standing in facts.standings(each)):
            return card_url(job.machine.slug, each.code), f"Next: {each.title}"
    if facts.dial_in is not None and not facts.recipe_holds():
        return reverse("bench:shots", args=[job.machine.slug]), "Next: test shots"
    return reverse("bench:prove", args=[job.machine.slug]), "See what Prove still wants"


def next_url(job: Job, facts: ProveFacts) -> str:
    """Return where the bench goes on: the first card with something to do, then the shots, then Prove."""
    first = facts.cards[0]
    if not all(standing.done for standing in facts.standings(first)):
        return card_url(job.machine.slug, first.code)
    return _next_card(job, facts, first)[0]
