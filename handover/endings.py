"""Selling a machine untested or faulty: what the buyer is told, what still stands in the way, the act, its undo.

Such a sale never has a settings card or a handover sheet: nothing on it was proved.
"""

from dataclasses import dataclass
from datetime import date

from handover import compose, found, stations
from handover.compose import Telling
from handover.models import Reservation, Told
from handover.services import buyer_named
from intake import facts as intake_facts
from intake.models import RecallCheck
from intake.words import FindingEnd
from workshop.bench import as_found, say
from workshop.bench import pages as bench_pages
from workshop.bench.facts import prove
from workshop.bench.facts.prove import ItemState, ProveFacts
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Shop
from workshop.core.words import ClosedAs, JobKind, Kind
from workshop.pricing import balances, gates
from workshop.pricing import services as pricing
from workshop.pricing.models import Ending, Sale
from workshop.trade.safety.labels import Label, label_for

_TESTED = (ItemState.PASSED, ItemState.FAILED)


@dataclass(frozen=True, slots=True)
class UntestedSale:
    """Who takes it as it is, and for how much. Buyer and price are those of the reservation where one stands."""

    buyer_name: str
    buyer_phone: str
    price_minor: int | None
    paid_minor: int
    method: str
    owed_words: str
    label_on: bool
    plug_cut: bool


def label(job: Job, shop: Shop) -> Label:
    """Return the label of the workshop's place, as it is true of this machine."""
    worn = label_for(shop.country)
    electrical = [s for s in prove.facts([job.pk])[job.pk].asked() if s.item.measure is not None]
    tested = [s for s in electrical if s.state in _TESTED]
    return worn.of_tested(to_the_end=len(tested) == len(electrical)) if tested else worn


def to_tell(job: Job) -> Telling:
    """Return every mark, every finding without a good end, every failed reading, every test without a pass."""
    facts = prove.facts([job.pk])[job.pk]
    marks = compose.to_tell(job).marks
    tested = any(s.state in _TESTED for s in facts.asked())
    return Telling(marks, [*_findings(job), *_failed(facts)], _not_tested(job, facts), nothing_tested=not tested)


def _findings(job: Job) -> list[str]:
    rows = job.findings.filter(end__in=(FindingEnd.OPEN, FindingEnd.LEFT)).order_by("pk")
    return [f"{row.words}: {row.end_words}" if row.end_words else row.words for row in rows]


def _failed(facts: ProveFacts) -> list[str]:
    failed = [s for s in facts.asked() if s.state is ItemState.FAILED and s.reading is not None]
    return [f"{s.item.title} failed: {say.too_words(s.reading)}" for s in failed if s.reading is not None]


def _not_tested(job: Job, facts: ProveFacts) -> list[str]:
    names = [s.item.title for s in facts.asked() if s.state not in _TESTED]
    more = [n for n in bench_pages.not_measured(job) if not n.lower().startswith(tuple(t.lower() for t in names))]
    coffee = [] if facts.recipe_holds() or job.machine.notes.kind == Kind.GRINDER else ["Coffee: no two shots agree"]
    return [*names, *more, *coffee]


def told(job: Job) -> Told | None:
    """Return the newest telling."""
    return Told.objects.filter(job=job).select_related("by").order_by("-pk").first()


def not_told(row: Told | None, telling: Telling) -> str:
    """Return the sentence that holds the sale back until the buyer was told all of it, or nothing."""
    if row is None:
        return "Tell the buyer every fault, every mark and what was not tested, before they agree."
    marks = {mark["id"] for mark in telling.marks} - {mark["id"] for mark in row.marks}
    if marks or set(telling.left) - set(row.left) or set(telling.not_tested) - set(row.not_tested):
        return "The buyer was not told all of it: tell them again, as it stands now."
    return ""


def before(job: Job, today: date, telling: Telling) -> list[str]:
    """Return why it cannot be sold like this yet, in sentences; empty when the way is free."""
    if job.kind == JobKind.CAME_BACK:
        return [balances.yours_again(job) or "It belongs to its buyer: it is given back, not sold."]
    reasons = gates.before(job, ClosedAs.SOLD_UNTESTED, today)
    if job.closed_at is not None:
        return reasons
    if intake_facts.recalled([job.pk])[job.pk]:
        reasons.append("It is recalled: it must not be sold.")
    elif not RecallCheck.objects.filter(job=job).exists():
        reasons.append("Look it up in the recall registers first, on Intake.")
    if bag := intake_facts.bags([job.pk])[job.pk]:
        reasons.append(f"{as_found.bagged_words(bag)} No sale before.")
    if words := stations.serial_asked(job):
        reasons.append(words)
    missing = not_told(told(job), telling)
    return [*reasons, missing] if missing else reasons


def tell_as_it_is(act: Act, job: Job, *, how: str) -> JournalEntry:
    """Record that the buyer was told every fault and everything not tested, before agreeing."""
    with acts.once(act):
        if job.closed_at is not None:
            raise Refused("This job has ended.")
        telling = to_tell(job)
        row = Told.objects.create(
            job=job,
            how=how,
            marks=telling.marks,
            left=telling.left,
            not_tested=telling.not_tested,
            by=act.by,
            at=act.at,
        )
        words = f"Told the buyer as it is: {len(telling.left)} faults, {len(telling.not_tested)} tests not made"
        return acts.write(act, "tell", words, row, job=job)


def sell_untested(act: Act, job: Job, shop: Shop, new: UntestedSale) -> JournalEntry:
    """Sell a machine untested or faulty: label on, buyer told, price agreed; the job ends.

    :raises Refused: what blocks, without the label of the place, without a buyer and price, or with a balance open
        and no word of it
    """
    with acts.once(act):
        Job.objects.select_for_update().only("pk").get(pk=job.pk)
        telling = to_tell(job)
        if blocks := before(job, act.day, telling):
            raise Refused(*blocks)
        worn = label(job, shop)
        _refuse_label(worn, new)
        sale = _sale(act, job, new)
        if new.paid_minor > balances.balance([job.pk])[job.pk].to_come_minor:
            raise Refused("That is more than is to come. Check the figures.", field="paid_minor")
        if new.paid_minor:
            pricing.take_payment(act, sale, new.paid_minor, new.method)
        if balances.balance([job.pk])[job.pk].to_come_minor > 0 and not new.owed_words:
            words = "The balance is not nil: take the payment, or say in words who pays what when."
            raise Refused(words, field="owed_words")
        paper = {"title": worn.title, "lines": [*worn.lines], "told": _told_lists(telling)}
        row = pricing.end_as(
            act, job, ClosedAs.SOLD_UNTESTED, person=sale.buyer, owed_words=new.owed_words, paper=paper
        )
        return acts.write(act, "sell_untested", f"Sold {job.machine} untested or faulty", row, job=job)


def _refuse_label(worn: Label, new: UntestedSale) -> None:
    if not new.label_on:
        raise Refused("Print the label and tie it on first.", field="label_on")
    if worn.must_disable and not new.plug_cut:
        raise Refused("Cut the plug off first: your place asks that nobody can use it.", field="plug_cut")


def _sale(act: Act, job: Job, new: UntestedSale) -> Sale:
    standing = balances.standing([job.pk]).get(job.pk)
    if standing is not None:
        return standing
    if not new.buyer_name:
        raise Refused("Who takes it? Type their name.", field="buyer_name")
    if new.price_minor is None:
        raise Refused("For how much? Type the price agreed, 0 for nothing.", field="price_minor")
    sale = pricing.agree_sale(act, job, buyer_named(new.buyer_name, new.buyer_phone), new.price_minor, act.day)
    found.refresh(job)
    return sale


def _told_lists(telling: Telling) -> list[list[object]]:
    marks = [f"Mark {mark['number']}. {mark['words']}" for mark in telling.marks]
    return [["Faults told", telling.left], ["Not tested", telling.not_tested], ["Marks told", marks]]


def take_back_untested(act: Act, row: Ending) -> JournalEntry:
    """Undo selling it untested, until the next day; a sale made by that act is cancelled, what was paid is owed back.

    :raises Refused: later, when undone already, by another than the owner, or when it came in again
    """
    with acts.once(act):
        pricing.withdraw_ending(act, row)
        sale = balances.standing([row.job_id]).get(row.job_id)
        if sale is not None and not Reservation.objects.filter(sale=sale).exists():
            pricing.cancel_sale(act, sale)
        return acts.write(act, "take_back_untested", f"{row.job.machine} is not sold after all", row, job=row.job)
