"""The Price page: a sum to follow, no figure for a technician, no tax word before a rule is chosen."""

import re
from datetime import date
from decimal import Decimal
from html import unescape

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import JobFactory
from tests.intake.factories import PhotoFactory, PurchaseFactory
from tests.pricing.factories import (
    ExtraCostFactory,
    WorkFactory,
    looked_at,
    ready_to_price,
    worked_machine,
    worked_shop,
)
from workshop.core.models import Signoff
from workshop.pricing import asking
from workshop.pricing.models import AskingPrice, ExtraCost
from workshop.trade.money.tax import TaxRule, margin_tax_minor

pytestmark = pytest.mark.django_db


def url(job, name="price", *more):
    return reverse(f"pricing:{name}", args=[job.machine.slug, *more])


def words_of(response):
    """Return what a person reads, in one line."""
    body = response.content.decode()
    body = re.sub(r"<(script|style)\b.*?</\1>", " ", body, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


def sum_lines(response):
    """Return the sum of the page from price down to what is left, as the owner reads it."""
    return [(row.code, row.amount) for row in response.context["money"].sum]


@pytest.fixture
def machine(job, owner, shop):
    worked_shop(shop)
    return worked_machine(job, owner)


def test_the_sum_can_be_followed_from_the_suggested_price_down(client_in, machine):
    page = client_in.get(url(machine))

    # (60 + 95 + 6 + 0.30 + 120) / (1 - 0.129) = 322.962 without tax, so 322.97
    assert sum_lines(page) == [
        ("PRICE", "£322.97"),
        ("PURCHASE", "-£120.00"),
        ("COSTS", "-£95.00"),
        ("RESERVE", "-£6.00"),
        ("SELLING_FEE", "-£32.30"),
        ("PAYMENT_FEE", "-£9.37"),
        ("FIXED_FEE", "-£0.30"),
        ("PROFIT", "£60.00"),
    ]
    shown = words_of(page)
    for line in page.context["money"].sum:
        assert f"{line.words} {line.amount}" in shown


@pytest.mark.parametrize("rule", [rule.value for rule in TaxRule])
def test_the_lines_of_the_sum_add_up(client_in, machine, shop, rule):
    worked_shop(shop, tax_rule=rule)

    amounts = [Decimal(amount.replace("£", "")) for _, amount in sum_lines(client_in.get(url(machine)))]

    assert sum(amounts[:-1]) == amounts[-1]
    assert amounts[-1] >= 60


def test_before_a_tax_rule_is_chosen_no_page_speaks_of_tax(client_in, act, machine):
    client_in.post(url(machine, "asking_set"), {"price_minor": "350"})

    for page in (
        client_in.get(url(machine)),
        client_in.get(url(machine), {"at": "90"}),
        client_in.get(url(machine, "payments")),
        client_in.get(machine.machine.get_absolute_url()),
    ):
        assert page.status_code == 200
        assert re.findall(r"\b(?:tax\w*|vat|gst|margin\w*)\b", words_of(page), re.IGNORECASE) == []


def test_under_the_margin_scheme_the_tax_is_the_trades_figure(client_in, machine, shop):
    worked_shop(shop, tax_rule="UK_MARGIN")

    page = client_in.get(url(machine))

    tax = margin_tax_minor(12000, 37099, TaxRule.UK_MARGIN, date(2026, 5, 12))
    assert (tax, dict(sum_lines(page))["TAX"]) == (4183, "-£41.83")
    assert dict(sum_lines(page))["PRICE"] == "£370.99"
    assert "Tax looks at the price paid alone £120.00" in words_of(page)


def test_the_box_comes_filled_with_the_suggestion(client_in, machine, shop):
    worked_shop(shop, tax_rule="UK_MARGIN")

    assert 'value="370.99"' in client_in.get(url(machine)).content.decode()


def test_another_price_is_followed_without_being_set(client_in, machine):
    page = client_in.get(url(machine), {"at": "400"})

    # 400 - 120 - 95 - 6 - 40.00 - 11.60 - 0.30 = 127.10
    assert sum_lines(page)[-1] == ("PROFIT", "£127.10")
    assert not AskingPrice.objects.exists()


def test_a_price_that_loses_money_says_lost(client_in, machine):
    page = client_in.get(url(machine), {"at": "200"})

    assert "Lost -£47.10" in words_of(page)


@pytest.mark.parametrize("at", ["", "dear", "-5", "1.2.3", "9" * 40])
def test_a_price_that_is_none_is_refused_and_kept(client_in, machine, at):
    page = client_in.get(url(machine), {"at": at})

    assert page.status_code == 422
    assert "Error:" in words_of(page)


def test_setting_a_price(client_in, machine):
    answer = client_in.post(url(machine, "asking_set"), {"price_minor": "349.50", "key": "k1"})
    again = client_in.post(url(machine, "asking_set"), {"price_minor": "349.50", "key": "k1"})

    assert (answer.status_code, again.status_code) == (302, 302)
    assert answer.url == again.url == f"{url(machine)}#asking"
    assert asking.prices([machine.pk]) == {machine.pk: 34950}
    assert AskingPrice.objects.count() == 1


def test_under_the_floor_the_page_asks_for_the_reason_and_keeps_the_price(client_in, machine):
    refused = client_in.post(url(machine, "asking_set"), {"price_minor": "199.50"})

    assert refused.status_code == 422
    assert "This is under the floor of £254.08. Say why the loss is right." in words_of(refused)
    assert 'value="199.50"' in refused.content.decode()
    assert not AskingPrice.objects.exists()

    owned = client_in.post(
        url(machine, "asking_set"), {"price_minor": "199.50", "below_floor_words": "It stood for a year."}
    )
    assert owned.status_code == 302
    assert "under the floor: It stood for a year." in words_of(client_in.get(url(machine)))


def test_extra_costs_come_and_go(client_in, machine):
    client_in.post(url(machine, "extra_add"), {"words": "Outside test", "amount_minor": "18"})
    row = ExtraCost.objects.get(words="Outside test")
    assert "Outside test £18.00" in words_of(client_in.get(url(machine)))

    client_in.post(url(machine, "extra_strike", row.pk))

    assert "Outside test £18.00" not in words_of(client_in.get(url(machine)))


def test_an_extra_cost_of_another_machine_is_not_found(client_in, machine, owner):
    other = ExtraCostFactory(job=JobFactory(), by=owner)

    assert client_in.post(url(machine, "extra_strike", other.pk)).status_code == 404
    other.refresh_from_db()
    assert other.struck_at is None


def test_before_the_purchase_is_known_there_is_no_figure_to_choose(client_in, job):
    page = client_in.get(url(job))

    assert "Nothing can be worked out before the price paid is known." in words_of(page)
    assert url(job, "asking_set") not in page.content.decode()


def test_the_same_as_arrived_in_one_press(client_in, machine, owner):
    looked_at(machine, owner, "ARRIVAL")

    answer = client_in.post(url(machine, "second_look_same"))

    assert answer.url == f"{url(machine)}#second-look"
    assert "All six faces were looked at again." in words_of(client_in.get(url(machine)))


def test_the_second_look_before_the_first_is_refused_on_the_page(client_in, machine):
    refused = client_in.post(url(machine, "second_look_same"))

    assert refused.status_code == 422
    assert "Finish the walk-round first: all six faces." in words_of(refused)


def test_no_work_is_owned_on_the_page(client_in, machine):
    client_in.post(url(machine, "no_work_own"), {"because": "it came clean"})

    assert "It needed no work: it came clean" in words_of(client_in.get(url(machine)))


def test_signing_off_on_the_page(client_in, owner, job, shop):
    worked_shop(shop)
    ready_to_price(job, owner)
    client_in.post(url(job, "asking_set"), {"price_minor": "350"})
    seen = client_in.get(url(job)).context["sign_off_form"].initial["seen"]

    signed = client_in.post(url(job, "price_sign_off"), {"seen": seen})

    assert signed.status_code == 302
    assert Signoff.objects.get().facts["asking"][1] == 35000
    assert "Signed off by Ana" in words_of(client_in.get(url(job)))


def test_a_sign_off_pressed_too_early_says_what_is_missing(client_in, machine):
    seen = client_in.get(url(machine)).context["sign_off_form"].initial["seen"]

    refused = client_in.post(url(machine, "price_sign_off"), {"seen": seen})

    assert (refused.status_code, Signoff.objects.count()) == (422, 0)
    assert "Choose an asking price." in words_of(refused)


def test_a_sign_off_on_facts_that_moved_is_stale(client_in, owner, machine):
    seen = client_in.get(url(machine)).context["sign_off_form"].initial["seen"]
    client_in.post(url(machine, "asking_set"), {"price_minor": "350"})

    stale = client_in.post(url(machine, "price_sign_off"), {"seen": seen})

    assert (stale.status_code, Signoff.objects.count()) == (409, 0)


# A technician


def test_a_technician_sees_no_figure(technician_in, machine, owner):
    page = technician_in.get(url(machine), {"at": "400"})

    shown = words_of(page)
    assert page.status_code == 200
    assert re.findall(r"£|120\.00|322|Cost so far|floor", shown) == []
    assert "Costs and prices are the owner's to see." in shown


def test_a_technician_may_look_again(technician_in, machine, technician):
    looked_at(machine, technician, "ARRIVAL")

    assert technician_in.post(url(machine, "second_look_same")).status_code == 302


@pytest.mark.parametrize("name", ["asking_set", "extra_add", "price_sign_off"])
def test_a_technician_sets_no_price(technician_in, machine, name):
    assert technician_in.post(url(machine, name), {"price_minor": "350"}).status_code == 403
    assert not AskingPrice.objects.exists()


def test_the_refused_press_of_a_technician_shows_no_figure(technician_in, machine):
    refused = technician_in.post(url(machine, "no_work_own"), {"because": ""})

    assert refused.status_code == 422
    assert "£" not in words_of(refused)


# The Machine page


def test_the_money_section_adds_up_to_the_cost_so_far(client_in, machine, owner):
    page = words_of(client_in.get(machine.machine.get_absolute_url()))

    assert "Carriage £95.00" in page
    assert "Cost so far £221.00" in page
    assert "Price it" in page


def test_the_money_section_is_not_for_a_technician(technician_in, machine):
    assert "Cost so far" not in words_of(technician_in.get(machine.machine.get_absolute_url()))


def test_thirty_lines_take_no_more_queries_than_one(client_in, machine, owner):
    PurchaseFactory()
    WorkFactory(job=machine, by=owner)
    counts = []
    for more in (0, 29):
        for _ in range(more):
            ExtraCostFactory(job=machine, by=owner)
            WorkFactory(job=machine, by=owner)
        client_in.get(url(machine))
        with CaptureQueriesContext(connection) as seen:
            client_in.get(url(machine))
        counts.append(len(seen))

    assert counts[0] == counts[1]


def test_the_line_of_photos_says_when_none_was_taken_as_it_is_sold(client_in, job, owner, shop):
    ready_to_price(job, owner)
    assert "arrival photos only: add some as it is sold" in words_of(client_in.get(url(job)))

    PhotoFactory(job=job, by=owner, purpose="SOLD", number=9)

    assert "1 photo as it is sold" in words_of(client_in.get(url(job)))
