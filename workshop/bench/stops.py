"""What stops a machine: a recall, a failed or lapsed stop item, the case standing open, a bag, a hold by law."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from intake import facts as intake_facts
from intake.facts import Hold
from intake.models import Bag
from workshop.bench import as_found, say
from workshop.bench.facts import prove
from workshop.bench.facts.prove import ItemState, ProveFacts, Standing
from workshop.core.templatetags.measures import clock, day, short_day

NAMED = 2  # lapsed items named one by one; the rest are counted, or the strip fills the screen. House policy.


@dataclass(frozen=True, slots=True)
class Stop:
    """One reason why the machine must not be powered, used or sold as it is."""

    words: str
    page: str  # URL name that takes the machine's name
    link_words: str


def stops(
    job_ids: Collection[int], today: date, known: Mapping[int, ProveFacts] | None = None
) -> dict[int, list[Stop]]:
    """Return what stops each job's machine: the same queries for one job or a thousand.

    `known`: the facts of Prove, where the caller has read them already.
    """
    holds, bags = intake_facts.hold(job_ids), intake_facts.bags(job_ids)
    facts = known if known is not None else prove.facts(job_ids)
    return {pk: [*_bagged(bags[pk]), *_of(facts[pk]), *_held(holds[pk], today)] for pk in job_ids}


def _bagged(bag: Bag | None) -> list[Stop]:
    return [Stop(as_found.bagged_words(bag), "as_found", "Say that it is clean")] if bag else []


def _of(facts: ProveFacts) -> list[Stop]:
    found = []
    if facts.recalled:
        found.append(Stop(say.RECALLED, "intake:intake", "See the look-up"))
    if facts.case_open and facts.opened:
        found.append(Stop(f"The case is open: {facts.opened.why}.", "bench:mend", "Shut it"))
    stop_items = [s for s in facts.states.values() if s.item.stop and s.reading is not None]
    for standing in stop_items:
        if standing.state is ItemState.FAILED and standing.reading is not None:
            words = f"{standing.item.title} failed: {say.too_words(standing.reading)}. Do not use it."
            found.append(Stop(words, "bench:prove", "Mend it, then measure again"))
    lapsed = [standing for standing in stop_items if standing.state is ItemState.WITHDRAWN]
    if lapsed and not facts.case_open:
        found.append(Stop(_lapsed_words(lapsed, facts), "bench:prove", "Measure it again"))
    return found


def _lapsed_words(lapsed: list[Standing], facts: ProveFacts) -> str:
    """Say what is not proved any more: measured items first, for a look is soon done again."""
    titles = [s.item.title for s in sorted(lapsed, key=lambda s: s.item.seen)]
    rest = len(titles) - NAMED
    named = ", ".join([titles[0], *(f"{t[:1].lower()}{t[1:]}" for t in titles[1:NAMED])])
    more = f" and {rest} more" if rest > 0 else ""
    when = f"{short_day(facts.opened.opened_at)} at {clock(facts.opened.opened_at)}" if facts.opened else "since"
    return f"{named}{more} not proved. The case was opened {when}, after the test."


def _held(hold: Hold | None, today: date) -> list[Stop]:
    if hold is None or not hold.stands(today):
        return []
    words = "no work and no sale" if hold.stops_work(today) else "no sale"
    return [Stop(f"On hold by law until {day(hold.until_on)}: {words} before.", "intake:intake", "See the purchase")]
