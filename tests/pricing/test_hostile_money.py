"""Whatever is typed into a form of money: a page comes back, and only whole records are written."""

import pytest
from django.db.models import Sum
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.pricing.factories import SaleFactory, worked_machine, worked_shop
from workshop.pricing.models import AskingPrice, ExtraCost, Payment

pytestmark = pytest.mark.django_db
UNHURRIED = settings(deadline=None, max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])

amounts = st.one_of(
    st.text(max_size=60),
    st.decimals(allow_nan=True, allow_infinity=True).map(str),
    st.integers(-(10**20), 10**20).map(str),
    st.decimals(-1000, 1000, places=2, allow_nan=False).map(lambda amount: f"£ {amount}"),
    st.sampled_from(["1e9", "1e-9", "0x10", "٣", "1,5", "1,234.56", "--5", "NaN", "1_000", "\x00", "½", "1 000"]),
)
words = st.one_of(st.text(max_size=300), st.just("\x00"), st.just(" " * 50), st.just("<script>alert(1)</script>"))


@pytest.fixture
def machine(job, owner, shop):
    worked_shop(shop, tax_rule="UK_MARGIN")
    return worked_machine(job, owner)


def post(client, job, name, data, *more):
    return client.post(reverse(f"pricing:{name}", args=[job.machine.slug, *more]), data).status_code


@UNHURRIED
@given(price=amounts, reason=words, key=st.text(max_size=80))
def test_asking_price(client_in, machine, price, reason, key):
    before = AskingPrice.objects.count()

    status = post(client_in, machine, "asking_set", {"price_minor": price, "below_floor_words": reason, "key": key})

    wrote = AskingPrice.objects.count() - before
    assert (status, wrote) in {(302, 1), (302, 0), (422, 0)}  # 302 and none: a key that was pressed before
    for row in AskingPrice.objects.all()[before:]:
        assert sum(amount for _, _, amount in row.breakdown) == row.profit_minor


@UNHURRIED
@given(amount=amounts, what=words)
def test_extra_cost(client_in, machine, amount, what):
    before = ExtraCost.objects.count()

    status = post(client_in, machine, "extra_add", {"amount_minor": amount, "words": what})

    assert (status, ExtraCost.objects.count() - before) in {(302, 1), (422, 0)}


@UNHURRIED
@given(amount=amounts, method=words, note=words)
def test_payment(client_in, job, shop, amount, method, note):
    sale = job.sales.first() or SaleFactory(job=job)
    before = Payment.objects.count()

    status = post(client_in, job, "payment_add", {"amount_minor": amount, "method": method, "words": note}, sale.pk)

    assert (status, Payment.objects.count() - before) in {(302, 1), (422, 0)}
    paid = sale.payments.aggregate(paid=Sum("amount_minor"))["paid"] or 0
    assert 0 <= paid <= sale.price_minor


@UNHURRIED
@given(amount=amounts, method=words)
def test_payment_to_a_seller(client_in, machine, amount, method):
    before = Payment.objects.count()

    status = post(client_in, machine, "seller_pay", {"amount_minor": amount, "method": method})

    assert (status, Payment.objects.count() - before) in {(302, 1), (422, 0)}


@UNHURRIED
@given(because=words)
def test_no_work(client_in, machine, because):
    assert post(client_in, machine, "no_work_own", {"because": because}) in {302, 422}


@UNHURRIED
@given(at=amounts)
def test_a_price_tried(client_in, machine, at):
    page = client_in.get(reverse("pricing:price", args=[machine.machine.slug]), {"at": at})

    assert page.status_code in {200, 422}
    assert not AskingPrice.objects.exists()
