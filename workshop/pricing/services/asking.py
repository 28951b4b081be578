"""Writers of the asking price: the sum is made anew inside the act and kept with the price."""

from typing import Any

from django.utils import timezone

from intake.services.guard import open_job
from workshop.bench.services import basis, work
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.templatetags.measures import money
from workshop.core.words import Area, JobKind
from workshop.pricing import asking, balances, costs, lines, sums
from workshop.pricing.costs import NO_WORK
from workshop.pricing.models import AskingPrice
from workshop.pricing.stations import day_of_sale
from workshop.pricing.sums import Sums

MOST_MINOR = 10**15  # a sum above this is a slip of the keys; it also keeps every column in range. House policy.

FULL_SET_BECAUSE = "it is priced at our figure for the full set, or above"  # no amount: not everybody sees prices


def set_asking_price(act: Act, job: Job, *, price_minor: int, below_floor_words: str = "") -> JournalEntry:
    """Set the asking price of a machine, in minor units; the old one stays in the book.

    From the workshop's figure on it asks for the full proving set.

    :raises Refused: under the floor without the reason in words; before the purchase is known; when no price
        can cover costs and fees; when the job has ended
    """
    with acts.once(act):
        open_job(job)
        shop = costs.the_shop()
        solved = _solve(act, job)
        if solved.floor is None:
            raise Refused(solved.no_price)
        floor_minor, words = solved.floor.price_minor, below_floor_words.strip()
        if price_minor < floor_minor and not words:
            least = money(floor_minor, shop)
            raise Refused(f"This is under the floor of {least}. Say why the loss is right.", field="below_floor_words")
        row = AskingPrice.objects.create(
            job=job,
            below_floor_words=words if price_minor < floor_minor else "",
            floor_minor=floor_minor,
            by=act.by,
            at=act.at,
            **_kept(solved, price_minor),
        )
        if shop.full_set_from_minor is not None and price_minor >= shop.full_set_from_minor:
            basis.full_now(act, job, because=FULL_SET_BECAUSE)
        after = {"price_minor": price_minor, "floor_minor": floor_minor}
        sentence = f"Asking {money(price_minor, shop)} for {job.machine}"
        return acts.write(act, "set_asking_price", sentence, row, job=job, area=Area.MONEY, after=after)


def _solve(act: Act, job: Job) -> Sums:
    shop = costs.the_shop()
    job_cost = costs.of_jobs([job.pk], shop)[job.pk]
    if job.kind == JobKind.CAME_BACK:
        raise Refused(balances.yours_again(job) or "It came back and goes home to its buyer. It has no asking price.")
    if job_cost.purchase is None:
        raise Refused("Say who sold it and for how much first, on Intake.")
    if job_cost.cost.total_minor > MOST_MINOR:
        raise Refused("The costs are too large to be right. Check minutes, rates and extra costs.")
    sold = balances.standing([job.pk])
    on = day_of_sale(sold.get(job.pk), None, job_cost, timezone.localtime(act.at).date())
    return sums.solve(job_cost, shop, on, lines.of_jobs(sold).get(job.pk, []))


def _kept(solved: Sums, price_minor: int) -> dict[str, Any]:
    """Return the columns that keep the sum as it stood."""
    breakdown, cost = solved.at(price_minor), solved.job_cost.cost
    return {
        "price_minor": price_minor,
        "profit_minor": breakdown.profit_minor,
        "tax_minor": breakdown.tax_minor,
        "cost_minor": cost.total_minor - cost.reserve_minor,
        "reserve_minor": cost.reserve_minor,
        "breakdown": [[line.code, line.words, line.amount_minor] for line in breakdown.lines],
    }


def strike_asking_price(act: Act, asked: AskingPrice) -> JournalEntry:
    """Take an asking price back; the one before stands again. :raises Refused: if done before, or not by the owner."""
    with acts.once(act):
        if not act.by.is_owner:
            raise Refused("Only the owner of the workshop may take a price back.")
        open_job(asked.job)
        if asked.struck or AskingPrice.objects.filter(corrects=asked).exists():
            raise Refused("This price was taken back already.")
        columns = {f.name: getattr(asked, f.name) for f in AskingPrice._meta.concrete_fields if f.name not in _OWN}
        row = AskingPrice.objects.create(**columns, by=act.by, at=act.at, corrects=asked, struck=True)
        _drop_full_set(act, asked)
        sentence = f"Took back the asking price of {money(asked.price_minor, costs.the_shop())}"
        return acts.write(act, "strike_asking_price", sentence, row, job=asked.job, area=Area.MONEY)


def _drop_full_set(act: Act, asked: AskingPrice) -> None:
    """The full set this price asked for goes with it, unless the price that stands again asks for it too."""
    least, again = costs.the_shop().full_set_from_minor, asking.prices([asked.job_id]).get(asked.job_id)
    if least is None or again is None or again < least:
        basis.drop_full(act, Act(by=asked.by, at=asked.at), asked.job)


_OWN = {"id", "by", "at", "corrects", "struck"}


def own_no_work(act: Act, job: Job, *, because: str) -> JournalEntry:
    """Say in words that a machine needed no bench time: a price without work is then complete."""
    return work.not_needed(act, job, what=NO_WORK, because=because)
