"""The writer that opens many jobs at once, of machines from before this book."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from intake.models import Purchase, Walk
from intake.services import purchase
from intake.services.log import FROM_NOTES
from intake.words import WalkKind
from workshop.core import names
from workshop.core.acts import Act
from workshop.core.models import Job, Machine, ModelNotes, Person, Place, Shop
from workshop.core.services import next_numbers
from workshop.trade.condition.scoring import RULE_VERSION
from workshop.trade.money.tax import TaxRule


@dataclass(frozen=True, slots=True, kw_only=True)
class OldMachine:
    """A machine bought before this book was kept; `closed_at` and `closed_as` where it has left again."""

    notes: ModelNotes
    serial: str
    price_minor: int
    acquired_on: date
    opened_at: datetime
    seller: Person | None = None
    place: Place | None = None
    said: str = ""
    closed_at: datetime | None = None
    closed_as: str = ""


def open_jobs(act: Act, shop: Shop, old: Sequence[OldMachine]) -> list[Job]:
    """Open a job for each machine inside the caller's act, in their order: a constant number of queries.

    Those still here get the shop's tax rule, the hold of their day and an arrival walk. Those that have left get
    none of the three: their tax stands in the book they come from.
    """
    first = next_numbers("stock", len(old))
    machines = Machine.objects.bulk_create(_machine(first + place, one) for place, one in enumerate(old))
    jobs = Job.objects.bulk_create(_job(act, machine, one) for machine, one in zip(machines, old, strict=True))
    Purchase.objects.bulk_create(_purchase(shop, job, one) for job, one in zip(jobs, old, strict=True))
    Walk.objects.bulk_create(
        Walk(job=job, kind=WalkKind.ARRIVAL, by=act.by, at=act.at, rule_version=RULE_VERSION)
        for job in jobs
        if job.closed_at is None
    )
    return jobs


def _machine(number: int, one: OldMachine) -> Machine:
    name = names.name_for(number)
    mains = {column: getattr(one.notes, column) for column in FROM_NOTES}
    return Machine(
        name=name,
        slug=names.slug_for(name),
        stock_number=number,
        notes=one.notes,
        serial=one.serial,
        place=one.place,
        **mains,
    )


def _job(act: Act, machine: Machine, one: OldMachine) -> Job:
    return Job(
        machine=machine,
        opened_at=one.opened_at,
        closed_at=one.closed_at,
        closed_by=act.by if one.closed_at else None,
        closed_as=one.closed_as,
    )


def _purchase(shop: Shop, job: Job, one: OldMachine) -> Purchase:
    here = job.closed_at is None
    return Purchase(
        job=job,
        seller=one.seller,
        price_minor=one.price_minor,
        acquired_on=one.acquired_on,
        said=one.said,
        tax_rule=shop.tax_rule if here else TaxRule.NONE.value,
        **(purchase.hold_columns(shop, one.acquired_on) if here else {}),
    )
