"""What own jobs say of a model before it is bought: what it fetched, the work, the parts, how often it failed.

Read set-based: a constant number of queries for any number of jobs. The odds themselves are the trade's.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db.models import Q, QuerySet, Sum

from workshop.core.models import Job, ModelNotes
from workshop.core.words import ClosedAs, JobKind
from workshop.parts.models import Movement
from workshop.pricing import costs
from workshop.pricing.models import ExtraCost, Sale
from workshop.trade.money import comparables
from workshop.trade.money import odds as trade
from workshop.trade.money.comparables import Fetched
from workshop.trade.money.odds import Belief, Cases, Minutes
from workshop.trade.money.rounding import round_half_up

# The newest jobs of the model, and as many of its kind: older ones tell of other prices. House policy.
MOST_JOBS = 200
CASES_SHOWN = 3
OLD_PARTS = "Parts, as the old book says"  # how the parts of a job of the past are written down: one line
NOT_MENDED = (ClosedAs.STRIPPED, ClosedAs.SCRAPPED, ClosedAs.SOLD_UNTESTED)
_ENDED = (ClosedAs.SOLD_PROVED, *NOT_MENDED)  # kept or given back, it says nothing


@dataclass(frozen=True, slots=True)
class Past:
    """One job that has ended. `sold_minor` is what it fetched, None where it was not sold."""

    pk: int
    name: str
    url: str
    ended_at: datetime | None
    mended: bool
    minutes: int
    sold_minor: int | None


@dataclass(frozen=True, slots=True)
class PartOdds:
    """How often a part was wanted on this model, and what it cost a job that took it, in minor units."""

    name: str
    own: Cases
    belief: Belief
    mean_minor: int

    @property
    def expected_minor(self) -> int:
        """What to reckon with for one machine."""
        return round_half_up(self.belief.mean * self.mean_minor)


@dataclass(frozen=True, slots=True)
class Evidence:
    """What is known of a model: its own jobs, those of other models of its kind, and the odds from both.

    Prices and salvage are the model's own. `price_minor` is the middle of what was fetched, be it once; who prints it
    says from how many.
    """

    own: tuple[Past, ...]
    kind: tuple[Past, ...]
    fetched: Fetched | None
    price_minor: int | None
    minutes: Minutes | None
    usual_minutes: int | None  # from the model notes, where no job has ended
    parts: tuple[PartOdds, ...]
    not_mended: Belief
    salvage_minor: int | None

    @property
    def parts_minor(self) -> int | None:
        """What the parts of one machine come to, by the odds; None where no job of the kind took any."""
        return sum(part.expected_minor for part in self.parts) if self.parts else None

    @property
    def own_minutes(self) -> list[int]:
        """The minutes of the own jobs that were mended, shortest first."""
        return sorted(_work(self.own))

    @property
    def kind_minutes(self) -> list[int]:
        """The minutes of other machines of the kind that were mended."""
        return _work(self.kind)

    @property
    def sold(self) -> list[Past]:
        """The own jobs that were mended and sold, newest first."""
        return [past for past in self.own if past.mended and past.sold_minor is not None]

    @property
    def not_mended_cases(self) -> Cases:
        """How many of the own jobs were not mended."""
        return _failures(self.own)


def evidence(notes: ModelNotes | None, kind: str) -> Evidence:
    """Return what own jobs say of a model; without notes, of its kind alone. Seven queries at most."""
    of_kind = _jobs(Q(machine__notes__kind=kind))
    own_jobs = list(of_kind.filter(machine__notes=notes)[:MOST_JOBS]) if notes else []
    kind_jobs = list((of_kind.exclude(machine__notes=notes) if notes else of_kind)[:MOST_JOBS])
    ids = [job.pk for job in (*own_jobs, *kind_jobs)]
    spent, sold = costs.minutes_spent(ids), _sold(ids)
    own, kind_past = (tuple(_past(job, spent, sold) for job in jobs) for jobs in (own_jobs, kind_jobs))
    prices = _prices(own)
    fetched = comparables.summary(prices) if prices else None
    return Evidence(
        own=own,
        kind=kind_past,
        fetched=fetched,
        price_minor=fetched.median_minor if fetched else None,
        minutes=trade.minutes(_work(own), _work(kind_past)),
        usual_minutes=notes.usual_minutes if notes else None,
        parts=_parts([past.pk for past in own if past.mended], [past.pk for past in kind_past if past.mended]),
        not_mended=trade.share(_failures(own), _failures(kind_past), trade.GUESS_NOT_MENDED.value),
        salvage_minor=_salvage(own),
    )


def _jobs(where: Q) -> "QuerySet[Job]":
    ended = Job.objects.filter(where, kind=JobKind.REFURBISH, closed_at__isnull=False, closed_as__in=_ENDED)
    return ended.select_related("machine").order_by("-closed_at", "-pk")


def _past(job: Job, spent: dict[int, int], sold: dict[int, int]) -> Past:
    mended = job.closed_as == ClosedAs.SOLD_PROVED
    machine = job.machine
    url = machine.get_absolute_url()
    return Past(job.pk, machine.name, url, job.closed_at, mended, spent[job.pk], sold.get(job.pk))


def _sold(job_ids: Collection[int]) -> dict[int, int]:
    rows = Sale.objects.filter(job_id__in=job_ids, cancelled_at__isnull=True)
    return dict(rows.values_list("job_id", "price_minor"))


def _prices(jobs: Iterable[Past]) -> list[int]:
    return [past.sold_minor for past in jobs if past.mended and past.sold_minor is not None]


def _work(jobs: Iterable[Past]) -> list[int]:
    """Return the minutes of the machines mended; a job without a minute written down tells nothing."""
    return [past.minutes for past in jobs if past.mended and past.minutes]


def _failures(jobs: Collection[Past]) -> Cases:
    return Cases(sum(not past.mended for past in jobs), len(jobs))


def _salvage(jobs: Iterable[Past]) -> int | None:
    fetched = [past.sold_minor for past in jobs if not past.mended and past.sold_minor is not None]
    return comparables.summary(fetched).median_minor if fetched else None


def _parts(own: Collection[int], kind: Collection[int]) -> tuple[PartOdds, ...]:
    """Return the odds of each part that a machine of the kind took; what went back to the drawer cancels out.

    Jobs of an old book name no part: theirs come as one.
    """
    rows = Movement.objects.filter(job_id__in=[*own, *kind]).values("job_id", "part_id", "part__name")
    worth: dict[tuple[int, str], dict[int, int]] = defaultdict(dict)
    for row in rows.annotate(out=Sum("qty"), value=Sum("value_minor")).order_by("part__name", "job_id"):
        if row["out"] < 0:
            worth[row["part_id"], row["part__name"]][row["job_id"]] = max(0, -row["value"])
    past = ExtraCost.objects.filter(job_id__in=[*own, *kind], words=OLD_PARTS, struck_at__isnull=True)
    for job_id, amount_minor in past.values_list("job_id", "amount_minor"):
        worth[0, OLD_PARTS][job_id] = amount_minor
    ours = set(own)
    found = []
    for (_, name), by_job in worth.items():
        seen = Cases(len(ours & by_job.keys()), len(own))
        belief = trade.share(seen, Cases(len(by_job) - seen.hits, len(kind)), trade.GUESS_PART.value)
        found.append(PartOdds(name, seen, belief, round_half_up(Decimal(sum(by_job.values())) / len(by_job))))
    return tuple(sorted(found, key=lambda part: (-part.belief.mean, part.name)))
