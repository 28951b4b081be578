"""The quiet question at the gate: answers given too fast to have been looked at, and times that hardly can be."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from workshop.bench.card_items.water import FIRST_CYCLE, SECOND_CYCLE
from workshop.bench.facts.prove import ItemState, ProveFacts, Standing, lapsed
from workshop.bench.models import TempoAnswer
from workshop.bench.models.corrections import STANDS
from workshop.bench.words import say_count
from workshop.core.models import Job, Reading
from workshop.core.templatetags.measures import clock, measure
from workshop.core.words import Outcome
from workshop.trade.safety.discipline import BACK_TO_BACK, SOONEST_HOT, SOONEST_SECOND_CYCLE, hurried

HOT = ("leak_hot", "insulation_hot")
_COUNTS = {3: "Three", 4: "Four", 5: "Five", 6: "Six", 7: "Seven", 8: "Eight", 9: "Nine"}


@dataclass(frozen=True, slots=True)
class Hurry:
    """One question: what is odd, what is asked, what a yes says, the reading it is kept by, and what was said."""

    words: str
    ask: str
    yes: str
    last_pk: int
    answer: str = ""

    @property
    def question(self) -> str:
        """The sentence with its question."""
        return f"{self.words} {self.ask}"

    @property
    def button(self) -> str:
        """The yes as it is pressed: "Yes, they were", "Yes, it was"."""
        return f"Yes, {' '.join(self.yes.split()[:2]).lower()}"


def questions(job: Job, facts: ProveFacts) -> list[Hurry]:
    """Return one question for each run of fast answers and each time too soon. One query where there are any."""
    asked = [*_runs(facts), *_too_soon(facts)]
    if not asked:
        return []
    rows = TempoAnswer.objects.filter(STANDS, job=job).select_related("by")
    said = {row.last_id: row.by for row in rows}
    return [
        Hurry(each.words, each.ask, each.yes, each.last_pk, f"{each.yes}, says {said[each.last_pk]}.")
        if each.last_pk in said
        else each
        for each in asked
    ]


def head(asked: list[Hurry]) -> str:
    """Say how many questions stand open: "2 questions first"; with none open, that they were asked."""
    count = sum(1 for each in asked if not each.answer)
    if not count:
        return "Asked and answered"
    return "One question first" if count == 1 else f"{say_count(count, 'question')} first"


# --- answers given too fast --------------------------------------------------------------------------------


def _runs(facts: ProveFacts) -> Iterator[Hurry]:
    given: dict[tuple[str, int], list[Reading]] = defaultdict(list)
    for reading in facts.answers:
        if reading.read_at is None:  # a late entry says nothing of how fast it was read
            given[reading.card, reading.by_id].append(reading)
    for rows in given.values():
        for first, last in _joined(rows, hurried([row.at for row in rows])):
            run = rows[first : last + 1]
            yield Hurry(_run_words(facts, run), "Were they looked at?", "They were looked at", _kept_by(run))


def _joined(rows: list[Reading], runs: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Lay runs that follow each other at once together: they are one rush, and one question."""
    near = timedelta(seconds=int(BACK_TO_BACK.value))
    joined: list[tuple[int, int]] = []
    for first, last in runs:
        if joined and first == joined[-1][1] + 1 and rows[first].at - rows[first - 1].at <= near:
            joined[-1] = (joined[-1][0], last)
        else:
            joined.append((first, last))
    return joined


def _run_words(facts: ProveFacts, run: list[Reading]) -> str:
    title = next((card.title for card in facts.every_card if card.code == run[0].card), "one card")
    took_s = max(1, round((run[-1].at - run[0].at).total_seconds()))
    return f"{_COUNTS.get(len(run), len(run))} answers on {title} were given in {took_s} s, until {clock(run[-1].at)}."


def _kept_by(run: list[Reading]) -> int:
    """Return the reading a run's answer is kept by: never one whose own time may be asked about as well."""
    return next((row.pk for row in reversed(run) if row.item not in (*HOT, SECOND_CYCLE)), run[0].pk)


# --- times that hardly can be ------------------------------------------------------------------------------


def _too_soon(facts: ProveFacts) -> Iterator[Hurry]:
    for code in HOT:
        first = _first(facts.states.get(code))
        powered = _could_be_powered(facts, first.done_at) if first else None
        if first and powered and (wait := first.done_at - powered) < timedelta(minutes=int(SOONEST_HOT.value)):
            words = f"{first.title} was read {_length(wait)} after it could first be powered."
            hot = measure(SOONEST_HOT.value, "min")
            yield Hurry(words, f"Was it hot for {hot}?", f"It was hot for {hot}", first.pk)
    one, two = _first(facts.states.get(FIRST_CYCLE)), _first(facts.states.get(SECOND_CYCLE))
    if one and two and (wait := two.done_at - one.done_at) < timedelta(minutes=int(SOONEST_SECOND_CYCLE.value)):
        words = f"The second heat cycle was read {_length(wait)} after the first."
        yield Hurry(words, "Was it fully cold between them?", "It was fully cold between them", two.pk)


def _first(standing: Standing | None) -> Reading | None:
    """Return the first reading of an item that passed, not its second look."""
    if standing is None or standing.state is not ItemState.PASSED:
        return None
    return standing.looks[0] if standing.looks else standing.reading


def _could_be_powered(facts: ProveFacts, until: datetime) -> datetime | None:
    """Return when all that comes before mains had passed for the first time since the case was shut."""
    times = [_passed_at(facts, each, until) for each in facts.unplugged()]
    known = [at for at in times if at is not None]
    return max(known) if known and len(known) == len(times) else None


def _passed_at(facts: ProveFacts, standing: Standing, until: datetime) -> datetime | None:
    item = standing.item
    rows = [
        row
        for row in facts.answers
        if row.item == item.code
        and row.done_at <= until
        and row.outcome not in (Outcome.FAIL, Outcome.NOT_POSSIBLE)
        and not (item.case_sensitive and lapsed(row.at, facts.opened))
    ]
    seconds = [row for row in rows if row.second_look] if facts.mains_work and item.mains_side else []
    return next((row.done_at for row in seconds or rows), None)


def _length(wait: timedelta) -> str:
    seconds = int(wait.total_seconds())
    return measure(seconds, "s") if seconds < 60 else measure(seconds // 60, "min")
