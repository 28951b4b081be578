"""Writers of endings: a job closes in one act as stripped, scrapped, given back or kept, and may be opened again."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from intake.models import Purchase
from workshop.core import acts, services
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Person
from workshop.core.templatetags.measures import money
from workshop.core.words import ClosedAs, JobKind
from workshop.parts import services as parts
from workshop.pricing import balances, costs, gates
from workshop.pricing.models import TOOK_IT, Ending, PartOut
from workshop.pricing.services.decide import owner_alone
from workshop.pricing.services.payments import paid_so_far

CAME_OUT = "came out of a stripped machine"
# What the rooms above print on the paper of a return that goes home to its buyer, from the reason typed; a room that
# prints something wants that reason. Hand over says what was not tested.
GOES_HOME: list[Callable[[Job, str], list[str]]] = []


@dataclass(frozen=True, slots=True)
class PartLine:
    """Pieces of one part kept from a stripped machine; `one_minor` is what one is worth to the workshop."""

    name: str
    qty: int
    one_minor: int

    @property
    def worth_minor(self) -> int:
        """What all of them are worth."""
        return self.qty * self.one_minor


def strip(act: Act, job: Job, *, lines: Sequence[PartLine], words: str = "") -> JournalEntry:
    """Strip a machine: its parts go into the drawer at the value stated, and the job ends.

    :raises Refused: what blocks; no part and no word why; parts stated above the machine's stock cost without a word
    """
    with acts.once(act):
        _free(act, job, ClosedAs.STRIPPED)
        stated = sum(line.worth_minor for line in lines)
        _refuse_lines(job, lines, stated, words)
        row = end_as(act, job, ClosedAs.STRIPPED, words=words, money_minor=stated)
        for line in lines:
            moved = parts.bring_in(
                act, line.name, line.qty, one_minor=line.one_minor, job=job, reason=f"{CAME_OUT}, {job.machine}"
            )
            PartOut.objects.create(ending=row, movement=moved)
        pieces = sum(line.qty for line in lines)
        kept = f"{pieces} {'piece' if pieces == 1 else 'pieces'} went into the drawer" if pieces else "nothing kept"
        return acts.write(act, "strip", f"Stripped {job.machine} for parts: {kept}", row, job=job)


def _refuse_lines(job: Job, lines: Sequence[PartLine], stated: int, words: str) -> None:
    if words:
        return
    if not lines:
        raise Refused("No part is named. Name what you keep, or say why nothing is worth keeping.", field="words")
    if job.kind == JobKind.CAME_BACK and not balances.yours_again(job):
        raise Refused("It belongs to its buyer. Say what was agreed with them.", field="words")
    shop = costs.the_shop()
    cost = costs.of_jobs([job.pk], shop)[job.pk].cost.stock_cost_minor
    if stated > cost:
        said, stands = money(stated, shop), money(cost, shop)
        raise Refused(f"The parts are stated at {said}, the machine cost {stands}. Say why they are worth more, "
                      "or state less.", field="words")  # fmt: skip


def scrap(act: Act, job: Job, *, words: str, taken_to: str, cord_cut: bool) -> JournalEntry:
    """Scrap a machine. :raises Refused: what blocks, or while its cord is not cut."""
    with acts.once(act):
        _free(act, job, ClosedAs.SCRAPPED)
        if not cord_cut:
            raise Refused("Cut the cord off close to the case first: nobody must plug it in again.", field="cord_cut")
        row = end_as(act, job, ClosedAs.SCRAPPED, words=words, paper={"taken_to": taken_to})
        return acts.write(act, "scrap", f"Scrapped {job.machine}: {words}", row, job=job)


def give_back(
    act: Act, job: Job, *, words: str, refund_minor: int = 0, owed_words: str = "", untested_words: str = ""
) -> JournalEntry:
    """Give a machine back: to its seller, with what they paid back; or, when it came back, to its buyer.

    :raises Refused: what blocks; less paid back than was paid, and no word of the rest; more than was paid; a return
        that was not proved again, and no word why
    """
    with acts.once(act):
        _free(act, job, ClosedAs.GIVEN_BACK)
        purchase = Purchase.objects.filter(job=job).select_related("seller").first()
        person = purchase.seller if purchase else _buyer(job)
        if purchase is not None:
            _refuse_refund(purchase, refund_minor, owed_words)
        untested = [] if purchase else _untested(job, untested_words)
        row = end_as(
            act,
            job,
            ClosedAs.GIVEN_BACK,
            words=words,
            person=person,
            money_minor=refund_minor if purchase else None,
            owed_words=owed_words,
            paper={"untested": untested} if untested else {},
        )
        whom = "its seller" if purchase else "its buyer"
        return acts.write(act, "give_back", f"Gave {job.machine} back to {whom}", row, job=job)


def _untested(job: Job, words: str) -> list[str]:
    lines = [line for says in GOES_HOME for line in says(job, words)]
    if lines and not words:
        sentence = "It was not proved again with the next sheet. Do that first, or say why it goes home like this."
        raise Refused(sentence, field="untested_words")
    return lines


def _refuse_refund(purchase: Purchase, refund_minor: int, owed_words: str) -> None:
    shop = costs.the_shop()
    paid = paid_so_far(purchase)
    if refund_minor > paid:
        raise Refused(f"Only {money(paid, shop)} was paid to the seller. Check the figures.", field="refund_minor")
    if refund_minor < paid and not owed_words:
        words = f"{money(paid, shop)} was paid to the seller. Say who pays the rest when, or why it stays with them."
        raise Refused(words, field="owed_words")


def _buyer(job: Job) -> Person | None:
    """Return who the machine of a return belongs to: the buyer of its first job."""
    sale = job.first_job.sales.filter(TOOK_IT).order_by("-pk").first() if job.first_job else None
    return sale.buyer if sale else None


def keep(act: Act, job: Job, *, words: str) -> JournalEntry:
    """Keep a machine: to use it, or to sell it again under a new log. :raises Refused: what blocks."""
    with acts.once(act):
        _free(act, job, ClosedAs.KEPT)
        row = end_as(act, job, ClosedAs.KEPT, words=words)
        return acts.write(act, "keep", f"Kept {job.machine}: {words}", row, job=job)


def _free(act: Act, job: Job, closed_as: ClosedAs) -> None:
    owner_alone(act)
    Job.objects.select_for_update().only("pk").get(pk=job.pk)
    if blocks := gates.before(job, closed_as, act.day):
        raise Refused(*blocks)


def end_as(act: Act, job: Job, closed_as: ClosedAs, **columns: Any) -> Ending:
    """Close the job and keep how it ended, inside the caller's act. :raises Refused: when it has ended already."""
    services.close_job(act, job, closed_as)
    return Ending.objects.create(job=job, closed_as=closed_as, by=act.by, at=act.at, **columns)


def take_back_ending(act: Act, row: Ending) -> JournalEntry:
    """Undo an ending until the next day; the parts of a stripped machine leave the drawer again.

    :raises Refused: later, when undone already, when it came in again, or when those parts were used
    """
    with acts.once(act):
        withdraw_ending(act, row)
        sentence = f"{row.job.machine} is not {str(row).lower()} after all"
        return acts.write(act, "take_back_ending", sentence, row, job=row.job)


def withdraw_ending(act: Act, row: Ending) -> None:
    """Withdraw an ending and open its job again, inside the caller's act. :raises Refused: see `take_back_ending`."""
    owner_alone(act)
    if row.withdrawn_at is not None:
        raise Refused("This was undone already.")
    services.reopen_job(act, row.job, row.at)
    for out in row.parts_out.select_related("movement__part", "movement__job").order_by("-pk"):
        out.back = parts.take_out_again(act, out.movement)
        out.save(update_fields=["back"])
    row.withdrawn_at, row.withdrawn_by = act.at, act.by
    row.save(update_fields=["withdrawn_at", "withdrawn_by"])
