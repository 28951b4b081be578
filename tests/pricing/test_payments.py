"""Sales, payments and refunds: what may be written, and what is still to come."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from tests.factories import JobFactory, PersonFactory
from tests.intake.factories import PurchaseFactory
from tests.pricing.factories import NOON, PaymentFactory, SaleFactory
from workshop.core import acts
from workshop.core.acts import AlreadyDone, Refused
from workshop.pricing import pages, services
from workshop.pricing.models import Payment, Sale
from workshop.pricing.undo import UNDO

pytestmark = pytest.mark.django_db
DAY = date(2026, 5, 12)


def figures(job):
    held = pages.balance([job.pk])[job.pk]
    return (held.price_minor, held.paid_minor, held.to_come_minor)


@pytest.fixture
def sale(job):
    return SaleFactory(job=job, price_minor=52000)


def test_a_sale_is_agreed_inside_another_act(act, job):
    with acts.once(act()):
        agreed = services.agree_sale(act(), job, PersonFactory(), 52000, DAY)

    assert figures(job) == (52000, 0, 52000)
    assert (agreed.agreed_on, agreed.cancelled_at) == (DAY, None)
    assert job.journal.count() == 0  # the caller writes the entry


def test_a_second_buyer_is_refused_until_the_first_is_cancelled(act, job, sale):
    with acts.once(act()), pytest.raises(Refused, match="already"):
        services.agree_sale(act(), job, PersonFactory(), 50000, DAY)

    with acts.once(act()):
        services.cancel_sale(act(), sale)
        services.agree_sale(act(), job, PersonFactory(), 50000, DAY)

    assert figures(job) == (50000, 0, 50000)
    assert (sale.cancelled_at, sale.version) == (NOON, 2)


def test_the_database_keeps_one_standing_sale_a_job(job, sale):
    with pytest.raises(IntegrityError), transaction.atomic():
        SaleFactory(job=job)


def test_a_sale_is_cancelled_once(act, sale):
    with acts.once(act()):
        services.cancel_sale(act(), sale)

    with acts.once(act()), pytest.raises(Refused, match="already"):
        services.cancel_sale(act(), sale)


def test_a_sale_agreed_and_then_refused_by_the_caller_leaves_nothing(act, job):
    def reserve():
        with acts.once(act()):
            services.agree_sale(act(), job, PersonFactory(), 52000, DAY)
            raise Refused("The caller changed its mind.")

    with pytest.raises(Refused, match="changed its mind"):
        reserve()

    assert not Sale.objects.exists()


def test_a_deposit_and_the_rest(act, job, sale, shop):
    services.record_payment(act(), sale, 8000, "cash")
    assert figures(job) == (52000, 8000, 44000)

    services.record_payment(act(), sale, 44000, "card", "at the door")

    assert figures(job) == (52000, 52000, 0)


def test_more_than_is_to_come_is_refused(act, job, sale, shop):
    services.record_payment(act(), sale, 8000, "cash")

    with pytest.raises(Refused, match=r"Only £440\.00 is to come"):
        services.record_payment(act(), sale, 44001, "cash")

    assert figures(job) == (52000, 8000, 44000)


def test_no_more_is_given_back_than_was_paid(act, job, sale, shop):
    services.record_payment(act(), sale, 8000, "cash")

    with pytest.raises(Refused, match=r"Only £80\.00 was paid"):
        services.record_payment(act(), sale, -8001, "cash")
    services.record_payment(act(), sale, -8000, "cash")

    assert figures(job) == (52000, 0, 52000)


def test_a_payment_of_nothing_is_refused(act, sale, shop):
    with pytest.raises(Refused):
        services.record_payment(act(), sale, 0, "cash")

    assert not Payment.objects.exists()


def test_a_cancelled_sale_takes_refunds_only(act, job, sale, shop):
    services.record_payment(act(), sale, 8000, "cash")
    with acts.once(act()):
        services.cancel_sale(act(), sale)

    with pytest.raises(Refused, match=r"Nothing is to come"):
        services.record_payment(act(), sale, 100, "cash")
    services.record_payment(act(), sale, -8000, "cash")

    assert pages.balance([job.pk]) == {}


def test_a_struck_payment_counts_for_nothing_and_stays_in_the_book(act, job, sale, shop):
    services.record_payment(act(), sale, 8000, "cash")
    row = Payment.objects.get()
    services.strike_payment(act(), row)

    assert figures(job) == (52000, 0, 52000)
    assert Payment.objects.count() == 2
    with pytest.raises(Refused, match="already"):
        services.strike_payment(act(), row)


def test_a_payment_that_a_refund_rests_on_is_kept(act, job, sale, shop):
    services.record_payment(act(), sale, 8000, "cash")
    paid = Payment.objects.get()
    services.record_payment(act(), sale, -3000, "cash")

    with pytest.raises(Refused, match="refund rests"):
        services.strike_payment(act(), paid)

    assert figures(job) == (52000, 5000, 47000)


def test_pressed_twice_it_is_one_payment(act, job, sale, shop):
    services.record_payment(act(key="k1"), sale, 8000, "cash")

    with pytest.raises(AlreadyDone):
        services.record_payment(act(key="k1"), sale, 8000, "cash")

    assert figures(job) == (52000, 8000, 44000)


def test_a_balance_may_be_paid_after_the_job_has_ended(act, job, owner, sale, shop):
    job.closed_at, job.closed_by, job.closed_as = NOON, owner, "SOLD_PROVED"
    job.save()

    services.record_payment(act(), sale, 52000, "bank")

    assert figures(job) == (52000, 52000, 0)


def test_a_payment_never_changes(owner, sale):
    row = PaymentFactory(sale=sale, by=owner)

    with pytest.raises(IntegrityError), transaction.atomic():
        Payment.objects.filter(pk=row.pk).update(amount_minor=1)
    with pytest.raises(IntegrityError), transaction.atomic():
        Payment.objects.filter(pk=row.pk).delete()


def test_a_payment_belongs_to_one_thing(job, owner, sale):
    bought = PurchaseFactory(job=job)

    for columns in ({}, {"sale": sale, "purchase": bought}):
        with pytest.raises(IntegrityError), transaction.atomic():
            PaymentFactory(by=owner, **columns)


def test_undo_of_a_payment_strikes_it(act, job, sale, shop):
    entry = services.record_payment(act(), sale, 8000, "cash")

    UNDO[entry.verb](act(), entry)

    assert figures(job) == (52000, 0, 52000)


# To the seller


def test_a_seller_is_owed_once_somebody_says_so(act, job, shop):
    bought = PurchaseFactory(job=job, price_minor=14000)
    services.owe_seller(act(), bought)

    with pytest.raises(Refused, match="already"):
        services.owe_seller(act(), bought)
    services.pay_purchase(act(), bought, 5000, "cash")
    with pytest.raises(Refused, match=r"Only £90\.00 is owed"):
        services.pay_purchase(act(), bought, 9001, "cash")
    services.pay_purchase(act(), bought, 9000, "bank")

    assert list(Payment.objects.order_by("pk").values_list("amount_minor", flat=True)) == [0, 5000, 9000]


@pytest.mark.parametrize("amount_minor", [0, -1])
def test_a_seller_gives_nothing_back_here(act, job, shop, amount_minor):
    with pytest.raises(Refused, match="above zero"):
        services.pay_purchase(act(), PurchaseFactory(job=job), amount_minor, "cash")


def test_a_technician_takes_no_payment_to_a_seller_back(act, job, technician, shop):
    entry = services.owe_seller(act(), PurchaseFactory(job=job))

    with pytest.raises(Refused, match="owner"):
        UNDO[entry.verb](act(by=technician), entry)


def test_balances_are_of_their_own_jobs(act, job, sale, shop):
    other = JobFactory()
    SaleFactory(job=other, price_minor=30000)
    services.record_payment(act(), sale, 8000, "cash")

    assert set(pages.balance([job.pk, other.pk])) == {job.pk, other.pk}
    assert figures(other) == (30000, 0, 30000)


def test_a_sale_is_settled_when_nothing_is_owed_either_way_and_open_again_once_a_payment_is_taken_back(job, act):
    sale = services.agree_sale(act(), job, PersonFactory(), 52000, NOON.date())
    assert not sale.settled

    services.record_payment(act(), sale, 52000, "card")
    sale.refresh_from_db()
    assert sale.settled

    services.strike_payment(act(), sale.payments.get())
    sale.refresh_from_db()
    assert not sale.settled


def test_what_is_to_come_is_paid_by_one_press_and_never_filled_in(client_in, sale, job):
    PaymentFactory(sale=sale, amount_minor=8000)
    address = reverse("pricing:payments", args=[job.machine.slug])
    page = client_in.get(address).content.decode()
    assert "Pay the £440.00 to come" in page
    assert 'name="amount_minor" value="440.00"' in page
    assert page.count('value="440.00"') == 1

    typed = {"key": "p1", "amount_minor": ["", "440.00"], "method": "card", "words": ""}
    client_in.post(reverse("pricing:payment_add", args=[job.machine.slug, sale.pk]), typed)

    assert figures(job) == (52000, 52000, 0)
    assert "to come</button>" not in client_in.get(address).content.decode()
