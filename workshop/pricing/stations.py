"""Station Price: what it rests on and what is missing."""

from collections import Counter
from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils import timezone

from intake import facts as intake_facts
from intake.facts import SecondLook
from intake.models import Photo
from intake.words import PhotoFor
from workshop.core.models import Job
from workshop.core.reads import once_a_page
from workshop.core.stations import Facts, Station, Unmet
from workshop.core.words import JobKind
from workshop.pricing import asking, balances, costs, lines, sums
from workshop.pricing.costs import JobCost
from workshop.pricing.models import AskingPrice, Sale

PAGE, INTAKE, WALK = "pricing:price", "intake:intake", "intake:walk"
CAME_BACK = "it came back and goes home to its buyer"


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceFacts(Facts):
    """What is known about the price of one job. Amounts in minor units."""

    job_cost: JobCost
    asking: AskingPrice | None
    floor_minor: int | None
    no_price: str
    second_look: SecondLook
    photos: int
    photos_sold: int  # of those, taken as it is sold

    @property
    def under_floor(self) -> bool:
        """Say whether the asking price loses money today and nobody owned that in words."""
        if self.asking is None or self.floor_minor is None or self.asking.below_floor_words:
            return False
        return bool(self.asking.price_minor < self.floor_minor)


@once_a_page
def facts(job_ids: Collection[int]) -> dict[int, PriceFacts]:
    """Return the facts of each job: a constant number of queries."""
    shop = costs.the_shop()
    kinds = dict(Job.objects.filter(pk__in=job_ids).values_list("pk", "kind"))
    rolled, asked, sold = costs.of_jobs(job_ids, shop), asking.standing(job_ids), balances.standing(job_ids)
    looks, photos = intake_facts.second_look(job_ids), _photos(job_ids)
    extras = lines.of_jobs(sold)
    found = {}
    for pk in job_ids:
        on = day_of_sale(sold.get(pk), asked.get(pk), rolled[pk])
        solved = sums.solve(rolled[pk], shop, on, extras.get(pk, []))
        found[pk] = PriceFacts(
            begun=pk in asked or looks[pk].begun or bool(rolled[pk].extras),
            not_needed=CAME_BACK if kinds.get(pk) == JobKind.CAME_BACK else "",
            asserted=_asserted(rolled[pk], asked.get(pk), looks[pk]),
            job_cost=rolled[pk],
            asking=asked.get(pk),
            floor_minor=solved.floor.price_minor if solved.floor else None,
            no_price=solved.no_price,
            second_look=looks[pk],
            photos=photos[pk, PhotoFor.SOLD] + photos[pk, PhotoFor.ARRIVAL],
            photos_sold=photos[pk, PhotoFor.SOLD],
        )
    return found


def day_of_sale(sale: Sale | None, asked: AskingPrice | None, job_cost: JobCost, today: date | None = None) -> date:
    """Return the day whose tax rate counts: the sale's, else today, the day it was priced, the day it was bought."""
    if sale is not None:
        return sale.agreed_on
    if today is not None:
        return today
    if asked is not None:
        return timezone.localtime(asked.at).date()
    return job_cost.purchase.acquired_on if job_cost.purchase else date.max


def _photos(job_ids: Collection[int]) -> Counter[tuple[int, str]]:
    shown = Photo.objects.filter(job_id__in=job_ids, struck=False, corrected_by__isnull=True)
    shown = shown.filter(purpose__in=(PhotoFor.SOLD, PhotoFor.ARRIVAL))
    return Counter(shown.values_list("job_id", "purpose"))


def _asserted(job_cost: JobCost, asked: AskingPrice | None, look: SecondLook) -> dict[str, Any]:
    """Return what a sign-off rests on. Later costs take it back only by lifting the floor over the price."""
    purchase = job_cost.purchase
    return {
        "purchase": [purchase.pk, purchase.price_minor] if purchase else [],
        "asking": [asked.pk, asked.price_minor] if asked else [],
        "second_look": [*look.looks, *look.marks],
    }


def _look(f: PriceFacts) -> str:
    if f.second_look.done:
        return ""
    if not f.second_look.begun:
        return "Look at the marks a second time: same as arrived, or new ones?"
    left = len(f.second_look.faces_unseen)
    return f"Finish the second look: {left} {'face' if left == 1 else 'faces'} to go."


def _asking(f: PriceFacts) -> str:
    if f.no_price:
        return "No price covers costs and fees: look at the fees in Our workshop."
    if f.asking is None:
        return "Choose an asking price."
    return "The price is under the floor: raise it, or say why the loss is right." if f.under_floor else ""


def _work(f: PriceFacts) -> str:
    noted = f.job_cost.minutes or f.job_cost.no_work_because
    return "" if noted else "Note the work done, or say that it needed none."


Check = Callable[[PriceFacts], str]

# code, what the line is called, its check, the page and anchor where it is mended
CHECKS: tuple[tuple[str, str, Check, str, str], ...] = (
    (
        "purchase",
        "Price paid",
        lambda f: "" if f.job_cost.purchase else "Say who sold it and for how much.",
        INTAKE,
        "purchase",
    ),
    ("work", "Work", _work, PAGE, "work"),
    ("asking", "Asking price", _asking, PAGE, "asking"),
    ("second_look", "Second look at the marks", _look, PAGE, "second-look"),
    ("photos", "Photos", lambda f: "" if f.photos else "Add a photo of it, as it is sold.", INTAKE, "photos"),
)


def unmet(f: PriceFacts) -> list[Unmet]:
    """Return what is missing, in the order of the page; nothing for a machine that came back."""
    if f.not_needed:
        return []
    missing = ((code, check(f), page, anchor) for code, _, check, page, anchor in CHECKS)
    return [Unmet(code, sentence, page, anchor) for code, sentence, page, anchor in missing if sentence]


STATION = Station("PRICE", "Price", PAGE, facts, unmet)
