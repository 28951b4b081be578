"""This morning's two money questions: who owes whom, and what an hour at the bench would earn."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.factories import JobFactory, PersonFactory
from tests.intake.factories import PurchaseFactory
from tests.pricing.factories import (
    NOON,
    AskingPriceFactory,
    PaymentFactory,
    SaleFactory,
    WorkFactory,
    worked_machine,
    worked_shop,
)
from workshop.pricing import asking, gain, owed, services
from workshop.pricing.models import Payment

pytestmark = pytest.mark.django_db


def told():
    return [(line.person, line.words, line.amount_minor, line.to_us) for line in owed.lines()]


def test_a_balance_is_owed_to_us(job, owner, shop):
    PaymentFactory(sale=SaleFactory(job=job, buyer=PersonFactory(name="M. Tolland")), amount_minor=8000, by=owner)

    line = owed.lines()[0]

    assert (line.person, line.words) == ("M. Tolland", f"The balance on {job.machine}")
    assert (line.amount_minor, line.to_us, line.since_on) == (44000, True, date(2026, 5, 11))
    assert line.url == f"/machines/{job.machine.slug}/payments/"


def test_a_sale_paid_in_full_is_square(job, owner, shop):
    PaymentFactory(sale=SaleFactory(job=job), amount_minor=52000, by=owner)

    assert owed.lines() == []


def test_the_deposit_of_a_cancelled_sale_is_owed_by_us(job, owner, shop):
    sale = SaleFactory(job=job, buyer__name="M. Tolland", cancelled_at=NOON, cancelled_by=owner)
    PaymentFactory(sale=sale, amount_minor=8000, by=owner)

    assert told() == [("M. Tolland", f"Paid for {job.machine}, which was cancelled", 8000, False)]


def test_a_cancelled_sale_without_money_is_square(job, owner, shop):
    SaleFactory(job=job, cancelled_at=NOON, cancelled_by=owner)

    assert owed.lines() == []


def test_a_purchase_is_paid_unless_somebody_said_otherwise(act, job, shop):
    bought = PurchaseFactory(job=job, seller=None, price_minor=14000)
    assert owed.lines() == []

    services.owe_seller(act(), bought)
    assert told() == [("A private seller", f"The price of {job.machine}, bought 2 May", 14000, False)]

    services.pay_purchase(act(), bought, 4000, "cash")
    assert [line.amount_minor for line in owed.lines()] == [10000]

    services.pay_purchase(act(), bought, 10000, "cash")
    assert owed.lines() == []


def test_taking_back_not_paid_yet_leaves_it_paid(act, job, shop):
    services.owe_seller(act(), PurchaseFactory(job=job))

    services.strike_payment(act(), Payment.objects.get())

    assert owed.lines() == []


def test_the_oldest_comes_first(job, owner, act, shop):
    SaleFactory(job=job, agreed_on=date(2026, 5, 11))
    services.owe_seller(act(), PurchaseFactory(job=JobFactory(), acquired_on=date(2026, 5, 2)))
    SaleFactory(job=JobFactory(), agreed_on=date(2026, 4, 1))

    assert [line.since_on for line in owed.lines()] == [date(2026, 4, 1), date(2026, 5, 2), date(2026, 5, 11)]


def test_thirty_debts_take_no_more_queries_than_one(act, shop):
    counts = []
    for more in (1, 29):
        for _ in range(more):
            job = JobFactory()
            SaleFactory(job=job)
            services.owe_seller(act(), PurchaseFactory(job=job))
        with CaptureQueriesContext(connection) as seen:
            found = owed.lines()
        counts.append((len(found), len(seen)))

    assert counts == [(2, 4), (60, 4)]


# Gain


@pytest.fixture
def bench(job, owner, shop):
    """A machine with 100 usual minutes, 40 of them spent."""
    worked_shop(shop)
    worked_machine(job, owner)
    job.machine.notes.usual_minutes = 100
    job.machine.notes.save()
    WorkFactory(job=job, minutes=40, by=owner)
    return job


def test_the_profit_wanted_over_the_hours_left(bench):
    # 60.00 wanted, 60 minutes left; rounding amount by amount may leave a penny more
    assert gain.per_hour_minor([bench.pk]) == {bench.pk: 6000}


def test_the_price_asked_counts_before_the_suggestion(bench, owner):
    AskingPriceFactory(job=bench, price_minor=40000, by=owner)

    # 400 - 120 - 95 - 6 - 40.00 - 11.60 - 0.30 = 127.10
    assert gain.per_hour_minor([bench.pk]) == {bench.pk: 12710}


def test_the_price_agreed_counts_before_the_price_asked(bench, owner):
    AskingPriceFactory(job=bench, price_minor=40000, by=owner)
    SaleFactory(job=bench, price_minor=38000)

    # 380 - 120 - 95 - 6 - 38.00 - 11.02 - 0.30 = 109.68
    assert gain.per_hour_minor([bench.pk]) == {bench.pk: 10968}


def test_a_quarter_of_an_hour_is_the_least_that_is_left(bench, owner):
    WorkFactory(job=bench, minutes=500, by=owner)

    assert gain.per_hour_minor([bench.pk]) == {bench.pk: 24000}


def test_a_loss_is_a_loss_an_hour(bench, owner):
    AskingPriceFactory(job=bench, price_minor=20000, floor_minor=20000, by=owner)

    # 200 - 120 - 95 - 6 - 20.00 - 5.80 - 0.30 = -47.10
    assert gain.per_hour_minor([bench.pk]) == {bench.pk: -4710}


@pytest.mark.parametrize("missing", ["purchase", "minutes", "profit wanted"])
def test_where_something_is_unknown_nothing_is_said(bench, shop, missing):
    if missing == "purchase":
        bench.purchase.delete()
    if missing == "minutes":
        bench.machine.notes.usual_minutes = None
        bench.machine.notes.save()
    if missing == "profit wanted":
        worked_shop(shop, profit_wanted_minor=0)

    assert gain.per_hour_minor([bench.pk]) == {bench.pk: None}


def test_thirty_machines_take_no_more_queries_than_one(owner, shop):
    worked_shop(shop)
    jobs = [worked_machine(JobFactory(), owner) for _ in range(30)]
    counts = []
    for some in (jobs[:1], jobs):
        with CaptureQueriesContext(connection) as seen:
            assert len(gain.per_hour_minor([job.pk for job in some])) == len(some)
        counts.append(len(seen))

    assert counts[0] == counts[1]


def test_only_standing_prices_are_asked(job, owner):
    taken = AskingPriceFactory(job=job, by=owner)
    AskingPriceFactory(job=job, by=owner, corrects=taken, struck=True)

    assert asking.prices([job.pk, JobFactory().pk]) == {}
