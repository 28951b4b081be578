"""Setting a price: the sum is the trade's, a loss is owned in words, nothing is overwritten."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from tests.factories import JobFactory
from tests.intake.factories import PurchaseFactory
from tests.pricing.factories import NOON, AskingPriceFactory, ExtraCostFactory, worked_machine, worked_shop
from workshop.bench.services import basis
from workshop.bench.stations import PROVE
from workshop.core.acts import AlreadyDone, Refused
from workshop.core.models import JournalEntry
from workshop.pricing import asking, costs, services, sums
from workshop.pricing.models import AskingPrice, ExtraCost
from workshop.pricing.undo import UNDO
from workshop.trade.money import price as trade
from workshop.trade.money.tax import TaxRule

pytestmark = pytest.mark.django_db
D = Decimal


def set_price(act, job, price_minor=37099, words="", **kwargs):
    return services.set_asking_price(act(**kwargs), job, price_minor=price_minor, below_floor_words=words)


def test_the_price_keeps_the_sum_it_rested_on(act, job, owner, shop):
    worked_shop(shop, tax_rule="UK_MARGIN")
    worked_machine(job, owner, tax_rule="UK_MARGIN")

    set_price(act, job)

    row = AskingPrice.objects.get()
    # own check by hand: (60 + 95 + 6 + 0.30 + 120 x 5/6) / (1 - 0.129 - 1/6) = 370.99, tax 41.83
    assert (row.price_minor, row.profit_minor, row.tax_minor) == (37099, 6000, 4183)
    assert (row.cost_minor, row.reserve_minor) == (21500, 600)
    assert [amount for _, _, amount in row.breakdown] == [37099, -12000, -9500, -600, -3710, -1076, -30, -4183]
    assert (row.by, row.at, row.below_floor_words) == (owner, NOON, "")


def test_the_floor_is_the_trades_floor(act, job, owner, shop):
    worked_shop(shop, tax_rule="UK_MARGIN")
    worked_machine(job, owner, tax_rule="UK_MARGIN")
    set_price(act, job)

    terms = trade.Terms(TaxRule.UK_MARGIN, date(2026, 5, 12), D("0.10"), D("0.029"), 30)
    least = trade.floor(purchase_minor=12000, other_costs_minor=9500, reserve_minor=600, terms=terms)

    assert AskingPrice.objects.get().floor_minor == least.price_minor


def test_a_price_under_the_floor_wants_the_loss_in_words(act, job, owner, shop):
    worked_shop(shop)
    worked_machine(job, owner)

    with pytest.raises(Refused) as refused:
        set_price(act, job, 20000)

    assert refused.value.field == "below_floor_words"
    assert not AskingPrice.objects.exists()
    set_price(act, job, 20000, "It has stood for a year.")
    assert AskingPrice.objects.get().below_floor_words == "It has stood for a year."


def test_the_database_too_wants_the_loss_in_words(job, owner):
    with pytest.raises(IntegrityError), transaction.atomic():
        AskingPriceFactory(job=job, by=owner, price_minor=100, floor_minor=200)


def test_words_of_a_loss_that_is_none_are_not_kept(act, job, owner, shop):
    worked_shop(shop)
    worked_machine(job, owner)

    set_price(act, job, 40000, "It has stood for a year.")

    assert AskingPrice.objects.get().below_floor_words == ""


def test_without_a_purchase_there_is_no_price(act, job, shop):
    with pytest.raises(Refused, match="Say who sold it"):
        set_price(act, job)


def test_a_machine_that_came_back_has_no_price(act, shop):
    job = JobFactory(kind="CAME_BACK")
    PurchaseFactory(job=job)

    with pytest.raises(Refused, match="goes home"):
        set_price(act, job)


def test_fees_that_swallow_every_price_are_said(act, job, owner, shop):
    worked_shop(shop, selling_fee_percent=D("60"), payment_fee_percent=D("40"))
    worked_machine(job, owner)

    with pytest.raises(Refused, match="No price can do this"):
        set_price(act, job)


def test_a_job_that_has_ended_takes_no_price(act, job, owner, shop):
    worked_machine(job, owner)
    job.closed_at, job.closed_by, job.closed_as = NOON, owner, "KEPT"
    job.save()

    with pytest.raises(Refused, match="ended"):
        set_price(act, job)


def test_pressed_twice_it_is_one_price(act, job, owner, shop):
    worked_machine(job, owner)
    set_price(act, job, key="k1")

    with pytest.raises(AlreadyDone):
        set_price(act, job, key="k1")

    assert AskingPrice.objects.count() == 1


def test_the_newest_price_stands_and_taking_it_back_brings_the_old_one(act, job, owner, shop):
    worked_machine(job, owner)
    set_price(act, job, 40000)
    set_price(act, job, 38000)
    assert asking.prices([job.pk]) == {job.pk: 38000}

    services.strike_asking_price(act(), asking.standing([job.pk])[job.pk])

    assert asking.prices([job.pk]) == {job.pk: 40000}
    assert AskingPrice.objects.count() == 3


def test_a_price_is_taken_back_once_and_by_the_owner(act, job, owner, technician, shop):
    worked_machine(job, owner)
    set_price(act, job, 40000)
    row = AskingPrice.objects.get()

    with pytest.raises(Refused, match="owner"):
        services.strike_asking_price(act(by=technician), row)
    services.strike_asking_price(act(), row)
    with pytest.raises(Refused, match="already"):
        services.strike_asking_price(act(), row)

    assert asking.prices([job.pk]) == {}


def test_prices_are_written_under_money_with_the_sum(act, job, owner, shop):
    worked_machine(job, owner)

    entry = set_price(act, job, 40000)

    assert (entry.area, entry.sentence) == ("MONEY", f"Asking £400.00 for {job.machine}")
    assert JournalEntry.objects.get(verb="set_asking_price").after["price_minor"] == 40000


@pytest.mark.parametrize(
    ("shop_rule", "own_rule", "price_minor", "rule"),
    [
        ("NONE", "UK_MARGIN", 12000, TaxRule.NONE),  # no rule anywhere
        ("UK_MARGIN", "NONE", 12000, TaxRule.UK_MARGIN),  # none was chosen on the day: the shop's
        ("UK_GLOBAL", "UK_MARGIN", 12000, TaxRule.UK_MARGIN),  # the purchase's own
        ("UK_GLOBAL", "UK_GLOBAL", 50000, TaxRule.UK_GLOBAL),  # 500 pounds is the most
        ("UK_GLOBAL", "UK_GLOBAL", 50001, TaxRule.UK_MARGIN),  # too dear: item by item
    ],
)
def test_which_tax_rule_a_machine_goes_under(job, shop, shop_rule, own_rule, price_minor, rule):
    shop.tax_rule = shop_rule
    PurchaseFactory(job=job, price_minor=price_minor, tax_rule=own_rule)
    job_cost = costs.of_jobs([job.pk], shop)[job.pk]

    assert sums.rule_of(shop, job_cost) is rule


def test_an_extra_cost_is_added_and_struck_once(act, job, owner, shop):
    services.add_extra_cost(act(), job, words="Carriage", amount_minor=1250)
    row = ExtraCost.objects.get()
    services.strike_extra_cost(act(), row)

    with pytest.raises(Refused, match="already"):
        services.strike_extra_cost(act(), row)

    row.refresh_from_db()
    assert (row.struck_at, row.struck_by) == (NOON, owner)


def test_an_extra_cost_of_nothing_is_no_row(job, owner):
    with pytest.raises(IntegrityError), transaction.atomic():
        ExtraCostFactory(job=job, by=owner, amount_minor=0)


@pytest.mark.parametrize("verb", ["set_asking_price", "add_extra_cost"])
def test_undo_takes_it_back_and_twice_is_refused(act, job, owner, shop, verb):
    worked_machine(job, owner)
    if verb == "set_asking_price":
        entry = set_price(act, job, 40000)
    else:
        entry = services.add_extra_cost(act(), job, words="Outside test", amount_minor=100)
    assert entry.verb == verb

    UNDO[verb](act(), entry)

    assert asking.prices([job.pk]) == {}
    assert not ExtraCost.objects.filter(words="Outside test", struck_at__isnull=True).exists()
    with pytest.raises(Refused, match="already"):
        UNDO[verb](act(), entry)


# --- the full proving set from the workshop's figure on ------------------------------------------------------


@pytest.mark.parametrize(
    ("figure", "price", "full"), [(None, 90000, False), (40000, 39999, False), (40000, 40000, True), (0, 37099, True)]
)
def test_a_price_from_the_workshops_figure_on_asks_for_the_full_set(act, job, owner, shop, figure, price, full):
    worked_shop(shop, full_set_from_minor=figure)
    worked_machine(job, owner)
    set_price(act, job, price)
    assert PROVE.facts([job.pk])[job.pk].full is full


def test_the_full_set_goes_with_the_price_that_asked_for_it(act, job, owner, shop):
    worked_shop(shop, full_set_from_minor=40000)
    worked_machine(job, owner)
    set_price(act, job, 39000)
    set_price(act, job, 45000, at=NOON + timedelta(minutes=1))
    services.strike_asking_price(act(at=NOON + timedelta(minutes=2)), AskingPrice.objects.order_by("pk").last())
    assert not PROVE.facts([job.pk])[job.pk].full


def test_the_full_set_stays_while_the_price_before_asks_for_it_too(act, job, owner, shop):
    worked_shop(shop, full_set_from_minor=40000)
    worked_machine(job, owner)
    set_price(act, job, 45000)
    set_price(act, job, 46000, at=NOON + timedelta(minutes=1))
    services.strike_asking_price(act(at=NOON + timedelta(minutes=2)), AskingPrice.objects.order_by("pk").last())
    assert PROVE.facts([job.pk])[job.pk].full


def test_what_a_person_asked_for_stays_when_a_price_is_taken_back(act, job, owner, technician, shop):
    worked_shop(shop, full_set_from_minor=40000)
    worked_machine(job, owner)
    basis.ask_full_set(act(by=technician), job, because="it goes to a café")
    set_price(act, job, 45000, at=NOON + timedelta(minutes=1))
    services.strike_asking_price(act(at=NOON + timedelta(minutes=2)), AskingPrice.objects.get())
    assert PROVE.facts([job.pk])[job.pk].full_because == "it goes to a café"
