"""What stops a machine: a failed or lapsed stop item, the case standing open, a hold by law."""

from collections.abc import Collection
from dataclasses import dataclass

from workshop.bench import say
from workshop.bench.facts import prove
from workshop.bench.facts.prove import ItemState, ProveFacts


@dataclass(frozen=True, slots=True)
class Stop:
    """One reason why the machine must not be powered, used or sold as it is."""

    words: str
    page: str  # URL name that takes the machine's name
    link_words: str


def stops(job_ids: Collection[int]) -> dict[int, list[Stop]]:
    """Return what stops each job's machine: the same queries for one job or a thousand."""
    return {pk: _of(facts) for pk, facts in prove.facts(job_ids).items()}


def _of(facts: ProveFacts) -> list[Stop]:
    found = []
    if facts.case_open and facts.opened:
        found.append(Stop(f"The case is open: {facts.opened.why}.", "bench:mend", "Shut it"))
    for standing in facts.states.values():
        if not standing.item.stop or standing.reading is None:
            continue
        title = standing.item.title
        if standing.state is ItemState.FAILED:
            words = f"{title} failed: {say.too_words(standing.reading)}. Do not use it."
            found.append(Stop(words, "bench:prove", "Mend it, then measure again"))
        elif standing.state is ItemState.WITHDRAWN and not facts.case_open:
            verb = "Look again" if standing.item.seen else "Measure it again"
            found.append(Stop(f"{title} not proved: the case was opened since.", "bench:prove", verb))
    return found
