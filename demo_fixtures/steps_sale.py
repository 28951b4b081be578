"""Price and reservation."""

from decimal import Decimal as D

from demo_fixtures.demo import Demo, sign
from handover import services as handing
from handover import told_links
from handover.services import NewReservation
from intake import services as intake
from workshop.core.models import Job
from workshop.pricing import services as pricing
from workshop.pricing.models import Sale


def set_price(demo: Demo, days_ago: float, job: Job, price_minor: int) -> None:
    intake.look_again(demo.act(days_ago), job)
    pricing.set_asking_price(demo.act(days_ago, demo.owner), job, price_minor=price_minor)
    sign(demo, days_ago, job, "PRICE")


def reserve(demo: Demo, days_ago: float, job: Job, buyer: str, phone: str, price_minor: int, in_days: int) -> None:
    handing.tell(demo.act(days_ago, demo.owner), job, how="SCREEN")
    new = NewReservation(
        buyer_name=buyer,
        buyer_phone=phone,
        price_minor=price_minor,
        collect_on=demo.day(-in_days),
        agreed="With the small jug. All marks shown.",
        drinks_per_day=D("4"),
        milk_drinks_per_day=D("2"),
        water="SAME",
        hardness_mg_l=None,
        has_scale="YES",
        has_grinder="YES",
        coffee_kind="FRESH",
    )
    handing.reserve(demo.act(days_ago, demo.owner), job, new)
    sale = Sale.objects.get(job=job, cancelled_at__isnull=True)
    pricing.record_payment(demo.act(days_ago, demo.owner), sale, 8000, "card", "deposit")


def sell_beside(demo: Demo, days_ago: float, job: Job) -> None:
    """A new tamper goes with it: its own tax, beside the machine's margin. What goes with it is counted once more."""
    sale = Sale.objects.select_related("job__machine").get(job=job, cancelled_at__isnull=True)
    pricing.add_line(
        demo.act(days_ago, demo.owner), sale, words="Tamper, 58 mm", amount_minor=1800, tax="STANDARD", cost_minor=750
    )
    counted = ["filter handle", "4 baskets", "Tamper, 58 mm", "brush", "milk jug", "maker's manual"]
    handing.receive(demo.act(0.9), job, lines=counted)


def send_to_read(demo: Demo, days_ago: float, job: Job) -> None:
    """Somebody asked for it: they have the address to read before they agree, and have not pressed yet."""
    told_links.make(demo.act(days_ago, demo.owner), job, language="en")
