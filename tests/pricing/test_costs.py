"""What a machine has cost: each line from its own rows, and two columns that are never one figure."""

from datetime import UTC, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.factories import JobFactory, PersonFactory
from tests.intake.factories import PurchaseFactory
from tests.pricing.factories import ExtraCostFactory, MovementFactory, PartFactory, WorkFactory
from workshop.parts import services as parts
from workshop.pricing import costs
from workshop.pricing.rows import cost_rows, duration
from workshop.pricing.services import payments
from workshop.trade.money import warranty

pytestmark = pytest.mark.django_db
CLOSED = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)


def cost_of(job, shop):
    return costs.of_jobs([job.pk], shop)[job.pk]


def lines(job, shop):
    return {line.code: line.amount_minor for line in cost_of(job, shop).cost.lines}


def sold(by, **columns):
    return JobFactory(closed_at=CLOSED, closed_by=by, closed_as="SOLD_PROVED", **columns)


def test_purchase_parts_work_overhead_and_extras_make_the_cost(job, owner, shop):
    shop.hourly_rate_minor, shop.overhead_minor_per_h = 2400, 600
    PurchaseFactory(job=job, price_minor=11000)
    MovementFactory(job=job, value_minor=-3860, by=owner)
    WorkFactory(job=job, minutes=230, by=owner)
    ExtraCostFactory(job=job, amount_minor=1250, by=owner)

    # 3 h 50 min at 24.00 is 92.00, at 6.00 is 23.00
    assert lines(job, shop) == {
        "PURCHASE": 11000,
        "PARTS": 3860,
        "LABOUR": 9200,
        "OVERHEAD": 2300,
        "EXTRA": 1250,
        "RESERVE": 0,
        "WASTED": 0,
    }
    assert cost_of(job, shop).cost.total_minor == 27610


def test_the_tax_purchase_price_and_the_stock_cost_are_two_figures(job, owner, shop):
    shop.mean_claim_minor = 6000
    PurchaseFactory(job=job, price_minor=12000)
    ExtraCostFactory(job=job, amount_minor=9500, by=owner)

    cost = cost_of(job, shop).cost

    assert (cost.tax_purchase_minor, cost.stock_cost_minor, cost.total_minor) == (12000, 21500, 22100)


def test_struck_work_and_struck_extras_cost_nothing(job, owner, shop):
    shop.hourly_rate_minor = 2400
    WorkFactory(job=job, minutes=60, by=owner, struck_at=CLOSED, struck_by=owner)
    ExtraCostFactory(job=job, by=owner, struck_at=CLOSED, struck_by=owner)

    assert cost_of(job, shop).cost.total_minor == 0


def test_a_part_that_went_back_to_the_drawer_costs_nothing(job, act, owner, shop):
    part = PartFactory(name="Safety valve")
    MovementFactory(part=part, job=None, qty=2, value_minor=1720, on_hand_after=2, value_after_minor=1720, by=owner)
    kept = parts.take(act(), part, 1, job)
    assert (lines(job, shop)["PARTS"], cost_of(job, shop).part_names) == (860, ("Safety valve",))

    parts.put_back(act(), kept)

    assert (lines(job, shop)["PARTS"], cost_of(job, shop).part_names) == (0, ())


def test_the_reserve_is_the_trades_figure_at_our_own_returns(job, owner, shop):
    shop.mean_claim_minor = 4000
    first = sold(owner)
    for _ in range(3):
        sold(owner)
    JobFactory(machine=first.machine, kind="CAME_BACK", first_job=first)

    seen = costs.returns()

    assert (seen.claims, seen.sold) == (1, 4)
    # (1 + 1) / (4 + 10) of 40.00 = 5.714
    assert lines(job, shop)["RESERVE"] == 571 == warranty.reserve_minor(1, 4, 4000)


def test_a_machine_that_came_back_twice_is_one_machine_that_came_back(owner, shop):
    first = sold(owner)
    JobFactory(machine=first.machine, kind="CAME_BACK", first_job=first, closed_at=CLOSED, closed_by=owner)
    JobFactory(machine=first.machine, kind="CAME_BACK", first_job=first)

    assert (costs.returns().claims, costs.returns().sold) == (1, 1)


def test_only_the_newest_sold_machines_are_counted(owner, shop, monkeypatch):
    monkeypatch.setattr(costs, "SOLD_LOOKED_AT", 2)
    long_ago = sold(owner)
    JobFactory(machine=long_ago.machine, kind="CAME_BACK", first_job=long_ago)
    sold(owner)
    lately = sold(owner)
    JobFactory(machine=lately.machine, kind="CAME_BACK", first_job=lately)

    assert (costs.returns().claims, costs.returns().sold) == (1, 2)


def test_a_return_of_a_machine_not_sold_as_proved_does_not_count(owner, shop):
    first = JobFactory(closed_at=CLOSED, closed_by=owner, closed_as="SOLD_UNTESTED")
    JobFactory(machine=first.machine, kind="CAME_BACK", first_job=first)

    assert (costs.returns().claims, costs.returns().sold) == (0, 0)


def test_the_lines_say_what_they_are(job, owner, shop):
    shop.hourly_rate_minor, shop.mean_claim_minor = 2400, 6000
    PurchaseFactory(job=job, price_minor=11000, seller=None)
    for name in ("Screen", "Seal"):
        MovementFactory(part=PartFactory(name=name), job=job, value_minor=-1000, by=owner)
    WorkFactory(job=job, minutes=230, by=owner)
    ExtraCostFactory(job=job, words="Carriage", amount_minor=500, by=owner)

    rows = [(row.words, row.amount) for row in cost_rows(cost_of(job, shop), shop)]

    assert rows == [
        ("Paid to a private seller, 2 May", "£110.00"),
        ("Parts: Screen, Seal", "£20.00"),
        ("Work, 3\u00a0h 50\u00a0min at £24.00 an hour", "£92.00"),
        ("Carriage", "£5.00"),
        ("Set aside for returns: none sold yet", "£6.00"),
        ("Cost so far", "£233.00"),
    ]


@pytest.mark.parametrize(("minutes", "words"), [(0, "0 min"), (45, "45 min"), (180, "3 h"), (230, "3 h 50 min")])
def test_minutes_are_said_as_people_do(minutes, words):
    assert duration(minutes).replace("\u00a0", " ") == words


def test_thirty_machines_take_no_more_queries_than_one(owner, shop):
    jobs = [JobFactory() for _ in range(30)]
    for job in jobs:
        PurchaseFactory(job=job)
        WorkFactory(job=job, by=owner)
        MovementFactory(job=job, by=owner)
        ExtraCostFactory(job=job, by=owner)

    counts = []
    for some in (jobs[:1], jobs):
        with CaptureQueriesContext(
            connection,
        ) as seen:
            found = costs.of_jobs([job.pk for job in some], shop)
        assert len(found) == len(some)
        counts.append(len(seen))

    assert counts[0] == counts[1]


def test_a_seller_who_waits_for_money_is_not_said_to_be_paid(job, act, owner, shop):
    def first():
        return cost_rows(cost_of(job, shop), shop)[0].words

    bought = PurchaseFactory(job=job, price_minor=3800, seller=PersonFactory(name="T. Harrow"))
    paid = first()
    payments.owe_seller(act(), bought)
    owed = first()
    payments.pay_purchase(act(), bought, 3000, "cash")

    assert [words.split(", ", 1)[0] for words in (paid, owed)] == ["Paid to T. Harrow", "Bought from T. Harrow"]
    assert owed.endswith(" not paid yet")
    assert first().endswith("£8.00 not paid yet")
