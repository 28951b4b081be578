"""Writers of the proving cards: readings, what is not possible, stopping a unit."""

from dataclasses import replace

from django.db.models import Max
from django.utils import timezone

from workshop.bench import say
from workshop.bench.cards import Item
from workshop.bench.facts import prove as facts_of
from workshop.bench.facts.prove import ItemState, ProveFacts, Standing
from workshop.bench.limits import Usual
from workshop.bench.models import CaseOpening
from workshop.bench.services import basis, late, spot, work
from workshop.bench.services import measured as what
from workshop.bench.services.measured import Typed
from workshop.bench.words import NotPossible
from workshop.core import acts, services
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Machine, Reading, Wait
from workshop.core.services import Found
from workshop.core.words import Outcome
from workshop.trade.safety.discipline import SECOND_LOOK_AFTER

LOOK_INSIDE = "look inside before the lid goes on"


def read(act: Act, job: Job, code: str, typed: Typed, *, seen: int | None = None) -> JournalEntry:
    """Keep one reading of a card, judged against its limit as it stands now. A failed second look is kept at once.

    `seen`: id of the newest reading on the person's page, 0 for none; None where no page was open.

    :raises Refused: not safe to power, something comes first, a fact of the limit is missing, or no such item
    :raises Odd: a value that is hardly so, until a second press says yes
    :raises Stale: when another reading was recorded or taken back since the page was opened
    """
    with acts.once(act):
        facts = open_facts(job)
        item, card = find(facts, code)
        _refuse_stale(facts.states[code], seen, typed)
        if item.waits_for_mains:
            refuse_unsafe(facts, item)
        _refuse_early(facts, item)
        usual = usual_ml(job.machine) if item.code == "debit" else None
        found = what.seen(item, card, typed) if item.seen else what.measured(facts, item, card, typed, usual)
        found = replace(
            found,
            second_look=_is_second(act, facts, facts.states[code], typed, found),
            read_at=late.read_at(act, facts, facts.states[code], typed.read_at),
        )
        spot.draw_once(act, job, facts)
        _move_case(act, job, facts, item, typed)
        basis.begin(act, job, facts)
        return services.record_reading(act, job, found)


def _is_second(act: Act, facts: ProveFacts, standing: Standing, typed: Typed, found: Found) -> bool:
    """Say whether it stands beside the first reading. A fail is never sent away: with none that passed, it is a first.

    :raises Refused: when it passed, and is no second look
    """
    if typed.second_look and found.outcome != Outcome.FAIL:
        refuse_no_second(act, facts, standing)
    return typed.second_look and standing.state is ItemState.PASSED


def _move_case(act: Act, job: Job, facts: ProveFacts, item: Item, typed: Typed) -> None:
    """What is seen inside says that the case is open now; "shut, all screws in" says that it is shut.

    The opening stands in Record as an entry of its own, without the form's key, so that it has its own Undo.
    """
    if item.opens_case and not facts.case_open:
        opening = work.open_now(act, job, why=LOOK_INSIDE)
        acts.write(replace(act, key=None), "look_inside", f"Opened the case: {LOOK_INSIDE}", opening, job=job)
    if item.shuts_case and facts.case_open and typed.answer == item.answers[0].code:
        work.shut_now(act, job)


def _refuse_stale(standing: Standing, seen: int | None, typed: Typed | None = None) -> None:
    """Let nobody write over a reading they have not seen. :raises Stale: with what it says now."""
    newest = standing.newest_pk
    if seen is None or seen == newest:
        return
    now = {standing.item.title: "nothing recorded"}
    if standing.last is not None:
        now = {standing.item.title: f"{say.found_words(standing.last)}. {say.by_words_at(standing.last)}"}
    pressed = standing.item.answer(typed.answer) if typed else None
    if pressed is not None:
        now["You pressed"] = pressed.label
    raise acts.Stale(now, newest)


def skip(act: Act, job: Job, code: str, *, reason: str, words: str, seen: int | None = None) -> JournalEntry:
    """Note that an item cannot be measured, and why. :raises Refused: on a stop item the machine has.

    :raises Stale: when another reading was recorded or taken back since the page was opened
    """
    with acts.once(act):
        facts = open_facts(job)
        item, card = find(facts, code)
        _refuse_stale(facts.states[code], seen)
        if item.stop:
            raise Refused(f"{item.title} is a stop item: it must be done on this machine.")
        basis.begin(act, job, facts)
        because = f"{NotPossible(reason).label}: {_left_at(facts.states[code], reason)}{words}"[:200]
        return services.record_reading(
            act, job, Found(card=card, item=code, title=item.title, outcome=Outcome.NOT_POSSIBLE, reason=because)
        )


def _left_at(standing: Standing, reason: str) -> str:
    """Say the value an item is left at. :raises Refused: when it was not read out of its limit."""
    if reason != NotPossible.LEFT:
        return ""
    if standing.state is not ItemState.FAILED or standing.reading is None:
        raise Refused("It was not read out of its limit: read it, or choose another reason.", field="reason")
    return f"{say.found_words(standing.reading)}, "


def stop_unit(act: Act, job: Job, code: str, *, seen: int | None = None) -> JournalEntry:
    """Stop the unit over a failed item: it waits for a decision.

    :raises Refused: when nothing failed, or it waits already
    :raises Stale: when another reading was recorded or taken back since the page was opened
    """
    with acts.once(act):
        facts = open_facts(job)
        item, _ = find(facts, code)
        _refuse_stale(facts.states[code], seen)
        if facts.states[code].state is not ItemState.FAILED:
            raise Refused(f"{item.title} has not failed: there is nothing to stop for.")
        what = f"a decision, mend or stop: {item.title} failed"[:120]
        if Wait.objects.filter(job=job, what=what, ended_at__isnull=True).exists():
            raise Refused("It waits for that decision already.")
        return services.begin_wait(act, job, station="PROVE", kind="DECISION", what=what, who="", look_again_on=None)


def strike(act: Act, job: Job, reading: Reading, *, seen: int | None = None, sure: str = "") -> JournalEntry:
    """Take a reading back as a slip. :raises Refused: when it was taken back before, or the job has ended.

    :raises Stale: when another reading of that item was recorded since the page was opened
    :raises Odd: when it is another person's second look, until a second press says yes
    """
    with acts.once(act):
        standing = open_facts(job).states.get(reading.item)
        if standing is not None:
            _refuse_stale(standing, seen)
        about = f"second look {reading.pk}"
        if reading.second_look and reading.by_id != act.by.pk and sure != about:
            words = f"{reading.by} took this second look. Press again to take it back all the same."
            raise acts.Odd(words, about=about)
        return take_back(act, reading)


def take_back(act: Act, reading: Reading) -> JournalEntry:
    """Take a reading back; where it said that the case is open and nothing was done since, that is taken back too.

    :raises Refused: when it was taken back before
    """
    with acts.once(act):
        same = {"job": reading.job_id, "opened_at": reading.at, "opened_by": reading.by_id}
        opening = CaseOpening.objects.open_now().filter(**same).select_related("job__machine").first()
        entry = services.strike_reading(act, reading)
        if opening is not None and not work.done_since(opening, but=reading):
            work.unopen_case(replace(act, key=None), opening)
        return entry


def take_back_look(act: Act, opening: CaseOpening) -> JournalEntry:
    """Take back that a look inside opened the case, with the answer that said so.

    :raises Refused: when it was shut or taken back before, or something was done since
    """
    with acts.once(act):
        if opening.struck_at is not None or opening.shut_at is not None:
            raise Refused("The case is not open any more.")
        same = {"job": opening.job_id, "at": opening.opened_at, "by": opening.opened_by_id}
        said = Reading.objects.filter(**same, struck=False, corrected_by__isnull=True).first()
        if work.done_since(opening, but=said):
            raise Refused("Something was done since. Shut the case at Mend and reseal instead.")
        return take_back(act, said) if said else work.unopen_case(act, opening)


# --- what the writers ask first --------------------------------------------------------------------------


def open_facts(job: Job) -> ProveFacts:
    """Lock the job and return its facts. :raises Refused: when the job has ended."""
    row = Job.objects.select_for_update().only("closed_at").get(pk=job.pk)
    if row.closed_at is not None:
        raise Refused("This job has ended. Nothing can be added to it.")
    return facts_of.facts([job.pk])[job.pk]


def find(facts: ProveFacts, code: str) -> tuple[Item, str]:
    """Return an item and its card's code. :raises Refused: when this machine has no such item."""
    standing = facts.states.get(code)
    if standing is None:
        raise Refused("This machine has no such item. Open the card again.")
    return standing.item, standing.home


def refuse_unsafe(facts: ProveFacts, item: Item | None = None) -> None:
    """Let nobody plug it in before it is safe to power, or past a failed stop item. :raises Refused: with each why."""
    if not facts.may_power(item):
        raise Refused(say.NOT_SAFE, *say.unsafe_lines(facts, item))


def _refuse_early(facts: ProveFacts, item: Item) -> None:
    """Let nobody read the leak before the heat cycles. :raises Refused: with what comes first."""
    first = facts.first_of(item)
    if first:
        raise Refused(f"Not yet. {say.first_words(first)}")


def refuse_no_second(act: Act, facts: ProveFacts, standing: Standing) -> None:
    """Let a second look be one. :raises Refused: with nothing read first, or too soon by the same person."""
    first = standing.looks[0] if standing.looks else standing.reading
    if first is None or standing.state is not ItemState.PASSED:
        raise Refused("There is no first reading that passed. Read it as usual.")
    if first.by_id != act.by.pk:
        return
    if (act.at - first.at).total_seconds() < SECOND_LOOK_AFTER.value:
        raise Refused("You read it yourself a moment ago. Let another person look, or read it afresh in a minute.")
    spotted = any(each.standing.item.code == standing.item.code for each in facts_of.repeats(facts))
    if spotted and not standing.wants_second and timezone.localdate(first.at) == act.day:
        raise Refused("You read this one today. Another person repeats it, or you on another day.")


def usual_ml(machine: Machine) -> Usual | None:
    """Return what earlier units of this model let through in 10 s (their middle), or None without any."""
    rows = Reading.objects.filter(
        item="debit", struck=False, corrected_by__isnull=True, value__isnull=False, job__machine__notes=machine.notes_id
    ).exclude(job__machine=machine)
    newest = rows.values("job__machine").annotate(last=Max("pk")).values("last")
    values = sorted(Reading.objects.filter(pk__in=newest).values_list("value", flat=True))
    return Usual(values[len(values) // 2], len(values)) if values else None
