"""Extras sold with a machine: written, changed and taken off before it goes; in the balance, the floor and the gain."""

from datetime import date
from decimal import Decimal

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests.pricing.factories import PaymentFactory, SaleFactory, ready_to_price, worked_shop
from workshop.core.acts import AlreadyDone, Refused, Stale
from workshop.core.models import Job, JournalEntry
from workshop.desk.services import undo_entry
from workshop.pricing import balances, costs, gain, lines, owed, pages, services, stations, sums
from workshop.pricing.models import Sale, SaleLine
from workshop.trade.money.tax import TaxRule

DAY = date(2026, 5, 11)


@pytest.fixture
def sale(job):
    return SaleFactory(job=job)


def held(job):
    return balances.balance([job.pk])[job.pk]


def test_an_extra_is_owed_beside_the_price(act, job, sale, owner):
    services.add_line(act(), sale, words="Tamper", amount_minor=2400)
    PaymentFactory(sale=sale, amount_minor=52000, by=owner)

    assert (held(job).price_minor, held(job).extras_minor, held(job).to_come_minor) == (52000, 2400, 2400)
    assert [line.amount_minor for line in owed.lines()] == [2400]


def test_two_payments_and_two_extras_are_each_counted_once(act, job, sale, owner):
    """A sum over two joins would count them twice."""
    for words, amount in (("Tamper", 2400), ("Delivery", 3000)):
        services.add_line(act(), sale, words=words, amount_minor=amount)
    for amount in (8000, 10000):
        PaymentFactory(sale=sale, amount_minor=amount, by=owner)

    assert (held(job).extras_minor, held(job).paid_minor, held(job).to_come_minor) == (5400, 18000, 39400)


def test_no_more_is_taken_than_the_machine_and_its_extras_cost(act, job, sale):
    services.add_line(act(), sale, words="Tamper", amount_minor=2400)

    with pytest.raises(Refused, match=r"Only £544\.00 is to come"):
        services.record_payment(act(), sale, 54401, "card")
    services.record_payment(act(), sale, 54400, "card")
    sale.refresh_from_db()
    assert sale.settled
    assert owed.lines() == []


def test_taken_off_after_it_was_paid_it_is_owed_back(act, job, sale, owner):
    services.add_line(act(), sale, words="Tamper", amount_minor=2400)
    services.record_payment(act(), sale, 54400, "card")
    services.strike_line(act(), SaleLine.objects.get())

    line = owed.lines()[0]
    assert (line.amount_minor, line.to_us) == (2400, False)
    sale.refresh_from_db()
    assert not sale.settled


def test_pressed_twice_it_is_sold_once(act, sale):
    services.add_line(act(key="k"), sale, words="Tamper", amount_minor=2400)

    with pytest.raises(AlreadyDone):
        services.add_line(act(key="k"), sale, words="Tamper", amount_minor=2400)
    assert SaleLine.objects.count() == 1


def test_taking_it_off_is_undone_and_adding_it_too(act, job, sale):
    added = services.add_line(act(), sale, words="Tamper", amount_minor=2400)
    struck = services.strike_line(act(), SaleLine.objects.get())
    undo_entry(act(), struck)
    assert held(job).extras_minor == 2400

    undo_entry(act(), added)
    assert held(job).extras_minor == 0


def test_a_change_seen_too_late_is_stale(act, sale):
    services.add_line(act(), sale, words="Tamper", amount_minor=2400)
    row = SaleLine.objects.select_related("sale__job__machine").get()
    services.change_line(act(), row, 1, {"amount_minor": 2000})

    with pytest.raises(Stale):
        services.change_line(act(), row, 1, {"amount_minor": 1800})
    assert SaleLine.objects.get().amount_minor == 2000


def test_after_it_has_gone_or_was_cancelled_nothing_changes(act, job, sale, owner):
    services.add_line(act(), sale, words="Tamper", amount_minor=2400)
    row = SaleLine.objects.select_related("sale__job__machine").get()
    Sale.objects.update(cancelled_at=timezone.now(), cancelled_by=owner)
    sale.refresh_from_db()
    with pytest.raises(Refused, match="was cancelled"):
        services.add_line(act(), sale, words="Cup", amount_minor=1)

    Sale.objects.update(cancelled_at=None, cancelled_by=None)
    Job.objects.update(closed_at=timezone.now(), closed_by=owner, closed_as="SOLD_PROVED")
    row.refresh_from_db()
    row = SaleLine.objects.select_related("sale__job__machine").get()
    for late in (
        lambda: services.add_line(act(), row.sale, words="Cup", amount_minor=1),
        lambda: services.change_line(act(), row, 1, {"amount_minor": 1}),
        lambda: services.strike_line(act(), row),
    ):
        with pytest.raises(Refused):
            late()


@pytest.mark.parametrize(
    "columns",
    [
        {"tax": "FREE"},
        {"amount_minor": -1},
        {"cost_minor": -1},
        {"tax": "OTHER", "rate_percent": None},
        {"tax": "STANDARD", "rate_percent": Decimal(7)},
    ],
)
def test_the_database_refuses_what_cannot_be(act, sale, columns):
    services.add_line(act(), sale, words="Tamper", amount_minor=2400)

    with pytest.raises(IntegrityError), transaction.atomic():
        SaleLine.objects.update(**columns)


@pytest.fixture
def priced(shop, owner):
    """The trade's worked machine, under the margin scheme."""
    worked_shop(shop, tax_rule="UK_MARGIN", tax_number="GB1", profit_wanted_minor=0)
    job = Job.objects.for_page().get(pk=SaleFactory(price_minor=40000, agreed_on=DAY).job_id)
    return ready_to_price(job, owner, tax_rule="UK_MARGIN")


def solved(job, shop):
    sold = balances.standing([job.pk])
    return sums.solve(costs.of_jobs([job.pk], shop)[job.pk], shop, DAY, lines.of_jobs(sold)[job.pk])


def test_a_tamper_sold_at_a_gain_lowers_the_floor_and_brings_its_own_tax(act, priced, shop):
    """24.00 at 20 % holds 4.00; it cost 9.00; fees take 12.9 %: 24 - 4 - 9 - 3.096 = 7.904 is left of it."""
    before = solved(priced, shop).floor
    services.add_line(act(), priced.sales.get(), words="Tamper", amount_minor=2400, tax="STANDARD", cost_minor=900)
    after = solved(priced, shop)

    assert (
        abs((before.exact_minor - after.floor.exact_minor) * (1 - Decimal("0.129") - Decimal(1) / 6) - Decimal("790.4"))
        < 1
    )
    told = {line.code: line.amount_minor for line in after.at(40000).lines}
    assert (told["EXTRAS"], told["EXTRAS_COST"], told["EXTRAS_TAX"]) == (2400, -900, -400)
    assert told["TAX"] == -4667  # (400 - 120) / 6: the tamper is not in the margin


def test_the_station_asks_for_no_more_than_the_floor_with_extras(act, priced, shop):
    before = stations.facts([priced.pk])[priced.pk].floor_minor
    services.add_line(act(), priced.sales.get(), words="Tamper", amount_minor=2400, tax="STANDARD", cost_minor=900)

    assert stations.facts([priced.pk])[priced.pk].floor_minor < before


def test_what_next_counts_the_extras_in(act, priced, shop):
    priced.machine.notes.usual_minutes = 90
    priced.machine.notes.save()
    before = gain.per_hour_minor([priced.pk])[priced.pk]
    services.add_line(act(), priced.sales.get(), words="Tamper", amount_minor=2400, tax="STANDARD", cost_minor=900)

    # 60 minutes are left: one hour's gain is the whole of it. 24 - 4 - 9 - 2.40 - 0.70 (fees rounded apart).
    assert 780 <= gain.per_hour_minor([priced.pk])[priced.pk] - before <= 800


def url(name, job, *more):
    return reverse(f"pricing:{name}", args=[job.machine.slug, *more])


def test_without_a_tax_scheme_no_tax_is_asked_or_shown(client_in, job, sale):
    page = client_in.get(url("payments", job)).content.decode()
    assert "Its tax" not in page
    added = client_in.post(url("line_add", job, sale.pk), {"words": "Tamper", "amount_minor": "24", "tax": "STANDARD"})

    assert added.status_code == 302
    assert SaleLine.objects.get().tax == "NONE"
    page = client_in.get(url("payments", job)).content.decode()
    assert "In all" in page
    assert "£544.00" in page
    assert "standard rate" not in page


def test_under_a_scheme_the_tax_is_asked_and_another_rate_wants_its_figure(client_in, job, sale, shop):
    shop.tax_rule = TaxRule.UK_MARGIN
    shop.save()
    typed = {"words": "Coffee", "amount_minor": "8", "tax": "OTHER"}
    refused = client_in.post(url("line_add", job, sale.pk), typed)
    assert refused.status_code == 422
    assert "Type the rate, 0 for none" in refused.content.decode()
    assert 'value="Coffee"' in refused.content.decode()

    client_in.post(url("line_add", job, sale.pk), {**typed, "rate_percent": "0"})
    row = SaleLine.objects.get()
    assert (row.tax, row.rate_percent) == ("OTHER", 0)
    assert "at 0 %" in client_in.get(url("payments", job)).content.decode()


def test_the_cost_of_an_extra_is_the_owners_to_see(client_in, technician_in, job, sale):
    assert "It cost us" in client_in.get(url("payments", job)).content.decode()
    assert "It cost us" not in technician_in.get(url("payments", job)).content.decode()
    technician_in.post(url("line_add", job, sale.pk), {"words": "Cup", "amount_minor": "4", "cost_minor": "1"})

    assert SaleLine.objects.get().cost_minor == 0


def test_it_is_changed_and_taken_off_on_screen(client_in, job, sale, act):
    services.add_line(act(), sale, words="Tamper", amount_minor=2400)
    row = SaleLine.objects.get()
    where = url("line_edit", job, row.pk)
    assert "24.00" in client_in.get(where).content.decode()
    stale = client_in.post(where, {"version": 9, "words": "Tamper", "amount_minor": "20"})
    assert stale.status_code == 409
    client_in.post(where, {"version": 1, "words": "Tamper, 58 mm", "amount_minor": "20"})
    assert SaleLine.objects.get().words == "Tamper, 58 mm"

    client_in.post(url("line_strike", job, row.pk))
    assert "The machine alone" in client_in.get(url("payments", job)).content.decode()
    assert JournalEntry.objects.filter(verb="strike_sale_line").exists()


def test_the_money_section_names_each_extra(act, job, sale):
    services.add_line(act(), sale, words="Tamper", amount_minor=2400)

    said = [(row.words, row.amount) for row in pages.money_section(job).after]
    assert ("With it: Tamper", "£24.00") in said
    assert said[-1] == ("To come", "£544.00")


def test_thirty_sales_with_extras_cost_as_many_queries_as_one(act, shop):
    def asked(jobs):
        with CaptureQueriesContext(connection) as seen:
            gain.per_hour_minor(jobs)
        return len(seen)

    jobs = []
    counts = []
    for _ in range(30):
        one = SaleFactory()
        services.add_line(act(), one, words="Cup", amount_minor=400)
        jobs.append(one.job_id)
        if len(jobs) in (1, 30):
            counts.append(asked(jobs))
    assert counts[0] == counts[1]
