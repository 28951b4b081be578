"""The Payments page: agreed, paid, to come; money given back; the seller's side for the owner alone."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import JobFactory
from tests.intake.factories import PurchaseFactory
from tests.pricing.factories import NOON, PaymentFactory, SaleFactory
from tests.pricing.test_price_page import words_of
from workshop.pricing.models import Payment

pytestmark = pytest.mark.django_db


def url(job, name="payments", *more):
    return reverse(f"pricing:{name}", args=[job.machine.slug, *more])


@pytest.fixture
def sale(job):
    return SaleFactory(job=job, price_minor=52000, buyer__name="M. Tolland")


def pay(client, job, sale, amount, **more):
    return client.post(url(job, "payment_add", sale.pk), {"amount_minor": amount, "method": "cash", **more})


def test_without_a_buyer_the_page_says_where_one_comes_from(client_in, job):
    page = client_in.get(url(job))

    assert (page.status_code, "No buyer has agreed a price yet." in words_of(page)) == (200, True)


@pytest.mark.parametrize("who", ["client_in", "technician_in"])
def test_a_payment_is_noted_and_taken_back(request, who, job, sale):
    client = request.getfixturevalue(who)
    answer = pay(client, job, sale, "80")
    assert answer.url == f"{url(job)}#sale-{sale.pk}"
    assert "Agreed, 11 May 2026 £520.00 Paid £80.00 To come £440.00" in words_of(client.get(url(job)))

    client.post(url(job, "payment_strike", Payment.objects.get().pk))

    assert "Paid £0.00 To come £520.00" in words_of(client.get(url(job)))


def test_a_double_press_is_one_payment(client_in, job, sale):
    for _ in range(2):
        assert pay(client_in, job, sale, "80", key="k1").status_code == 302

    assert Payment.objects.count() == 1


@pytest.mark.parametrize("amount", ["", "lots", "0", "520.01", "-0.01", "1.2.3"])
def test_what_cannot_be_a_payment_is_refused_and_kept(client_in, job, sale, amount):
    refused = pay(client_in, job, sale, amount)

    assert (refused.status_code, Payment.objects.count()) == (422, 0)
    assert f'value="{amount}"' in refused.content.decode() or not amount


def test_a_refusal_stands_under_its_own_sale(client_in, job, owner, sale):
    old = SaleFactory(job=job, cancelled_at=NOON, cancelled_by=owner)
    PaymentFactory(sale=old, amount_minor=5000, by=owner)

    refused = pay(client_in, job, old, "9")
    forms = {block.pk: form for block, form, _ in refused.context["blocks"]}

    assert (bool(forms[old.pk].errors), bool(forms[sale.pk].errors)) == (True, False)


def test_the_deposit_of_a_cancelled_sale_is_to_give_back_and_stays_as_history(client_in, job, owner):
    old = SaleFactory(job=job, cancelled_at=NOON, cancelled_by=owner, buyer__name="M. Tolland")
    PaymentFactory(sale=old, amount_minor=8000, by=owner)
    assert "Cancelled with M. Tolland" in words_of(client_in.get(url(job)))
    assert "To give back £80.00" in words_of(client_in.get(url(job)))

    pay(client_in, job, old, "-80")

    page = words_of(client_in.get(url(job)))
    for words in ("Cancelled with M. Tolland", "Given back", "To give back £0.00"):
        assert words in page
    assert "Note money given back" not in page
    assert "No buyer has agreed a price yet" not in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("60", "Nothing is to come. Money you give back is typed below zero, like -60.00."),
        ("90", "Nothing is to come. Money you give back is typed below zero, like -80.00."),
        ("-90", "Only £80.00 was paid, so no more can be given back."),
    ],
)
def test_what_cannot_be_given_back_is_refused_in_words_that_fit(client_in, job, owner, typed, said):
    old = SaleFactory(job=job, cancelled_at=NOON, cancelled_by=owner)
    PaymentFactory(sale=old, amount_minor=8000, by=owner)

    refused = pay(client_in, job, old, typed)

    assert (refused.status_code, said in words_of(refused), Payment.objects.count()) == (422, True, 1)


def test_an_old_sale_still_owed_is_here_after_the_machine_came_back(client_in, owner, job, sale):
    job.closed_at, job.closed_by, job.closed_as = NOON, owner, "SOLD_PROVED"
    job.save()
    JobFactory(machine=job.machine, kind="CAME_BACK", first_job=job)

    assert "To come £520.00" in words_of(client_in.get(url(job)))


def test_a_sale_or_payment_of_another_machine_is_not_found(client_in, job, owner):
    other = SaleFactory()
    paid = PaymentFactory(sale=other, by=owner)

    assert pay(client_in, job, other, "80").status_code == 404
    assert client_in.post(url(job, "payment_strike", paid.pk)).status_code == 404
    assert Payment.objects.count() == 1


# The seller


def test_a_seller_not_paid_yet(client_in, job):
    PurchaseFactory(job=job, price_minor=14000)
    assert "Paid in full when it was bought." in words_of(client_in.get(url(job)))

    client_in.post(url(job, "seller_owe"))
    assert "Paid £0.00 We owe £140.00" in words_of(client_in.get(url(job)))

    client_in.post(url(job, "seller_pay"), {"amount_minor": "140", "method": "bank"})
    assert "Paid £140.00 We owe £0.00" in words_of(client_in.get(url(job)))


def test_more_than_is_owed_is_refused_beside_the_seller(client_in, job):
    PurchaseFactory(job=job, price_minor=14000)

    refused = client_in.post(url(job, "seller_pay"), {"amount_minor": "141", "method": "bank"})

    assert (refused.status_code, Payment.objects.count()) == (422, 0)
    assert "Only £140.00 is owed. Check the figures." in words_of(refused)


def test_a_technician_sees_nothing_of_the_seller(technician_in, job, owner):
    bought = PurchaseFactory(job=job, price_minor=14000)
    row = PaymentFactory(purchase=bought, amount_minor=0, by=owner)

    assert "140.00" not in words_of(technician_in.get(url(job)))
    for name, more in (("seller_owe", []), ("seller_pay", []), ("payment_strike", [row.pk])):
        assert technician_in.post(url(job, name, *more)).status_code == 403
    assert Payment.objects.count() == 1


def test_thirty_payments_take_no_more_queries_than_one(client_in, job, owner, sale):
    counts = []
    for more in (1, 29):
        for _ in range(more):
            PaymentFactory(sale=sale, amount_minor=100, by=owner)
        client_in.get(url(job))
        with CaptureQueriesContext(connection) as seen:
            client_in.get(url(job))
        counts.append(len(seen))

    assert counts[0] == counts[1]
