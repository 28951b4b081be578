"""What each machine has cost so far, for many jobs at once: purchase, parts, work, overhead, extras, reserve.

Two columns are kept apart: what the seller was paid (`cost.tax_purchase_minor`) and the stock cost
(`cost.stock_cost_minor`); the sums themselves are the trade's.
"""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass, field

from django.db.models import Count, Exists, OuterRef, Q, Sum

from intake import facts as intake_facts
from intake.models import Purchase
from workshop.bench.models import NotNeeded, WorkDone
from workshop.core.models import Job, Shop
from workshop.core.words import ClosedAs, JobKind
from workshop.parts.models import Movement
from workshop.pricing.models import CURRENT, ExtraCost, Payment
from workshop.trade.money import warranty
from workshop.trade.money.costing import Cost, labour_minor, roll_up

NO_WORK = "work"  # what a `NotNeeded` row of the bench speaks of when a machine needed no bench time
# Sold machines whose returns are counted: what came back years ago tells little, and a page must not slow down.
# House policy.
SOLD_LOOKED_AT = 1000


@dataclass(frozen=True, slots=True)
class Returns:
    """Own experience with returns: how many of the newest machines sold as proved came back by a fault.

    Of those returns that have ended: how many, and their minutes, parts and other costs in all.
    """

    claims: int
    sold: int
    ended: int = 0
    minutes: int = 0
    spent_minor: int = 0


@dataclass(frozen=True, slots=True)
class JobCost:
    """The cost of one job with the rows it was rolled up from."""

    purchase: Purchase | None
    part_names: tuple[str, ...]
    minutes: int
    no_work_because: str
    cost: Cost
    returns: Returns
    extras: list[ExtraCost] = field(default_factory=list)
    unpaid_minor: int = 0  # what the seller is still owed


def the_shop() -> Shop:
    """Return the workshop, or one without rates and tax before it is set up."""
    return Shop.objects.filter(pk=1).first() or Shop()


def of_jobs(job_ids: Collection[int], shop: Shop) -> dict[int, JobCost]:
    """Return the cost of each job: a constant number of queries for any number of jobs."""
    bought, minutes = intake_facts.purchases(job_ids), minutes_spent(job_ids)
    values, names = _parts(job_ids)
    extras, no_work, seen = _extras(job_ids), _no_work(job_ids), returns()
    reserve, paid, no_returns = reserve_minor(seen, shop), _paid_to_sellers(job_ids), _without_returns(job_ids)
    found = {}
    for pk in job_ids:
        purchase, extra = bought[pk], extras[pk]
        cost = roll_up(
            purchase_minor=purchase.price_minor if purchase else 0,
            parts_minor=max(0, values[pk]),
            minutes=minutes[pk],
            hourly_rate_minor=shop.hourly_rate_minor,
            overhead_per_hour_minor=shop.overhead_minor_per_h,
            extra_minor=sum(row.amount_minor for row in extra),
            reserve_minor=0 if pk in no_returns else reserve,
        )
        unpaid = max(0, purchase.price_minor - paid.get(pk, purchase.price_minor)) if purchase else 0
        found[pk] = JobCost(purchase, names[pk], minutes[pk], no_work.get(pk, ""), cost, seen, extra, unpaid)
    return found


def minutes_spent(job_ids: Collection[int]) -> dict[int, int]:
    """Return the minutes of work that stand on each job."""
    rows = WorkDone.objects.filter(job_id__in=job_ids, struck_at__isnull=True)
    summed = rows.values("job_id").annotate(spent=Sum("minutes")).order_by("job_id")
    return dict.fromkeys(job_ids, 0) | {row["job_id"]: row["spent"] or 0 for row in summed}


def _parts(job_ids: Collection[int]) -> tuple[dict[int, int], dict[int, tuple[str, ...]]]:
    """Return the value and the names of the parts in each job; what went back to the drawer cancels out.

    What came out of a stripped machine was never a cost of it.
    """
    fitted = Movement.objects.filter(job_id__in=job_ids, came_out__isnull=True, came_out_undone__isnull=True)
    rows = fitted.values("job_id", "part__name")
    values: dict[int, int] = defaultdict(int)
    names: dict[int, tuple[str, ...]] = defaultdict(tuple)
    for row in rows.annotate(out=Sum("qty"), worth=Sum("value_minor")).order_by("job_id", "part__name"):
        values[row["job_id"]] -= row["worth"]
        if row["out"] < 0:
            names[row["job_id"]] += (row["part__name"],)
    return values, names


def _extras(job_ids: Collection[int]) -> dict[int, list[ExtraCost]]:
    found: dict[int, list[ExtraCost]] = defaultdict(list)
    rows = ExtraCost.objects.filter(job_id__in=job_ids, struck_at__isnull=True).select_related("by")
    for row in rows.order_by("pk"):
        found[row.job_id].append(row)
    return found


def _paid_to_sellers(job_ids: Collection[int]) -> dict[int, int]:
    """Return what each seller was paid whose payments are listed; any other was paid in full when it was bought."""
    rows = Payment.objects.filter(CURRENT, purchase__job_id__in=job_ids).values("purchase__job_id")
    summed = rows.annotate(paid=Sum("amount_minor")).order_by("purchase__job_id")
    return {row["purchase__job_id"]: row["paid"] for row in summed}


def _without_returns(job_ids: Collection[int]) -> set[int]:
    """Return the jobs nothing is set aside for: ended otherwise than sold as proved, or a return itself."""
    otherwise = Q(closed_at__isnull=False) & ~Q(closed_as=ClosedAs.SOLD_PROVED)
    rows = Job.objects.filter(otherwise | Q(kind=JobKind.CAME_BACK), pk__in=job_ids)
    return set(rows.values_list("pk", flat=True))


def _no_work(job_ids: Collection[int]) -> dict[int, str]:
    """Return why a machine needed no bench time, where somebody said so; the newest answer counts."""
    rows = NotNeeded.objects.filter(job_id__in=job_ids, what=NO_WORK).order_by("pk")
    return dict(rows.values_list("job_id", "because"))


def returns() -> Returns:
    """Return how many machines sold as proved came back at our cost, of how many, and what that cost.

    The newest ones: one query, and three more where returns have ended.
    """
    newest = Job.objects.filter(closed_as=ClosedAs.SOLD_PROVED).order_by("-pk").values("pk")[:SOLD_LOOKED_AT]
    came_back = Job.objects.at_our_cost().filter(first_job=OuterRef("pk"))
    row = Job.objects.filter(pk__in=newest).aggregate(sold=Count("pk"), claims=Count("pk", filter=Exists(came_back)))
    if not row["claims"]:
        return Returns(0, row["sold"])
    ended = Job.objects.at_our_cost().filter(first_job__in=newest, closed_at__isnull=False)
    ids = list(ended.values_list("pk", flat=True))
    values, _ = _parts(ids)
    spent = sum(max(0, worth) for worth in values.values())
    spent += sum(extra.amount_minor for rows in _extras(ids).values() for extra in rows)
    return Returns(row["claims"], row["sold"], len(ids), sum(minutes_spent(ids).values()), spent)


def mean_claim_minor(seen: Returns, shop: Shop) -> int:
    """Return what a return costs: our own ended ones at today's rates, shrunk to what the workshop stated."""
    rates = shop.hourly_rate_minor + shop.overhead_minor_per_h
    own = seen.spent_minor + labour_minor(seen.minutes, rates)
    return warranty.mean_claim_minor(shop.mean_claim_minor, own, seen.ended)


def reserve_minor(seen: Returns, shop: Shop) -> int:
    """Return what to set aside for one machine: own share of returns, shrunk, at what a return costs."""
    return warranty.reserve_minor(seen.claims, seen.sold, mean_claim_minor(seen, shop))
