"""Each way a job can end: its short gate, its one act, its paper and its undo."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.bench.factories import NOON
from tests.factories import JobFactory, PersonFactory
from tests.intake.factories import LoosePartFactory, PurchaseFactory
from tests.pricing.factories import PaymentFactory, SaleFactory
from workshop.bench.services import work
from workshop.core.acts import Act, Refused
from workshop.core.models import Job
from workshop.core.words import ClosedAs
from workshop.desk import lists
from workshop.parts import services as drawer
from workshop.parts.models import Part
from workshop.pricing import costs, gates, owed, services
from workshop.pricing.models import Ending
from workshop.pricing.services import PartLine

PUMP, SEALS = PartLine("Pump", 1, 2500), PartLine("Group seal", 2, 300)


@pytest.fixture
def bought(job):
    """A machine bought for 85.00 from S. Seller."""
    PurchaseFactory(job=job, price_minor=8500, seller=PersonFactory(name="S. Seller"))
    return job


def end_each(act, job):
    """Every ending of this floor, ready to be called."""
    return {
        ClosedAs.STRIPPED: lambda: services.strip(act, job, lines=[PUMP]),
        ClosedAs.SCRAPPED: lambda: services.scrap(act, job, words="boiler split", taken_to="", cord_cut=True),
        ClosedAs.GIVEN_BACK: lambda: services.give_back(act, job, words="not as described", refund_minor=8500),
        ClosedAs.KEPT: lambda: services.keep(act, job, words="for the counter"),
    }


ENDINGS = (ClosedAs.STRIPPED, ClosedAs.SCRAPPED, ClosedAs.GIVEN_BACK, ClosedAs.KEPT)


def stock(name):
    return drawer.stock_of(Part.objects.get(name=name))


@pytest.mark.parametrize("how", ENDINGS)
def test_an_ending_closes_the_job_in_one_act_and_undo_opens_it_again(bought, act, how):
    end_each(act(), bought)[how]()

    closed = Job.objects.get(pk=bought.pk)
    assert (closed.closed_as, closed.closed_at) == (how, NOON)
    row = Ending.objects.get()
    services.take_back_ending(act(at=NOON + timedelta(hours=20)), row)
    assert Job.objects.get(pk=bought.pk).closed_at is None


@pytest.mark.parametrize("how", ENDINGS)
def test_no_ending_ends_a_job_twice_or_by_another_than_the_owner(bought, act, technician, how):
    with pytest.raises(Refused, match="Only the owner"):
        end_each(act(by=technician), bought)[how]()
    end_each(act(), bought)[how]()

    with pytest.raises(Refused, match="ended already"):
        end_each(act(), bought)[how]()
    assert Ending.objects.count() == 1


@pytest.mark.parametrize("how", ENDINGS)
def test_a_machine_that_is_sold_already_ends_no_other_way(bought, act, how):
    SaleFactory(job=bought, buyer=PersonFactory(name="R. Buyer"))

    with pytest.raises(Refused, match=r"agreed with R\. Buyer: cancel the reservation"):
        end_each(act(), bought)[how]()


@pytest.mark.parametrize(("how", "blocked"), [(how, how in gates.HELD) for how in ENDINGS])
def test_a_hold_blocks_stripping_and_scrapping_until_its_date_and_nothing_else(bought, act, how, blocked):
    bought.purchase.hold_until_on = date(2026, 5, 13)
    bought.purchase.save()

    assert gates.before(bought, how, date(2026, 5, 13)) == []
    reasons = gates.before(bought, how, date(2026, 5, 12))
    assert [reason.startswith("On hold by law until 13 May 2026") for reason in reasons] == [True] * blocked


@pytest.mark.parametrize(
    ("how", "blocked"), [(ClosedAs.GIVEN_BACK, True), (ClosedAs.KEPT, True), (ClosedAs.STRIPPED, False)]
)
def test_what_somebody_may_plug_in_again_leaves_with_its_case_shut(bought, act, how, blocked):
    work.open_case(act(), bought, why="a look inside")

    assert bool(gates.before(bought, how, NOON.date())) is blocked


def test_it_is_too_late_to_undo_after_a_day(bought, act):
    services.keep(act(), bought, words="for the counter")

    with pytest.raises(Refused, match="too late to undo"):
        services.take_back_ending(act(at=NOON + timedelta(days=2)), Ending.objects.get())


def test_nothing_is_undone_once_the_machine_came_in_again(bought, act):
    services.keep(act(), bought, words="for the counter")
    JobFactory(machine=bought.machine)

    with pytest.raises(Refused, match="has come in again since"):
        services.take_back_ending(act(), Ending.objects.get())


# Stripped


def test_stripping_puts_the_parts_into_the_drawer_at_the_value_stated(bought, act):
    drawer.add_part(act(), name="group seal", size="", material="", supplier="", qty=1, cost_minor=400)

    services.strip(act(), bought, lines=[PUMP, SEALS])

    assert (stock("Pump"), stock("group seal")) == ((1, 2500), (3, 1000))
    assert {m.job_id for m in Part.objects.get(name="Pump").movements.all()} == {bought.pk}
    assert Ending.objects.get().money_minor == 3100


def test_undoing_takes_the_parts_out_again_at_the_same_value(bought, act):
    services.strip(act(), bought, lines=[PUMP, SEALS])

    services.take_back_ending(act(), Ending.objects.get())

    assert (stock("Pump"), stock("Group seal")) == ((0, 0), (0, 0))


def test_stripping_is_not_undone_once_its_parts_were_used(bought, act):
    services.strip(act(), bought, lines=[PUMP])
    drawer.take(act(), Part.objects.get(), 1, JobFactory())

    with pytest.raises(Refused, match="Pieces of Pump have left the drawer"):
        services.take_back_ending(act(), Ending.objects.get())
    assert Job.objects.get(pk=bought.pk).closed_as == "STRIPPED"


def test_parts_stated_above_what_the_machine_cost_want_a_word(bought, act):
    dear = [PartLine("Pump", 1, 8501)]
    with pytest.raises(Refused, match=r"stated at £85\.01, the machine cost £85\.00") as refused:
        services.strip(act(), bought, lines=dear)
    assert refused.value.field == "words"

    services.strip(act(), bought, lines=dear, words="the pump alone sells for more")

    assert Ending.objects.get().words == "the pump alone sells for more"


def test_parts_stated_at_exactly_what_it_cost_need_none(bought, act):
    services.strip(act(), bought, lines=[PartLine("Pump", 1, 8500)])

    assert Ending.objects.get().money_minor == 8500


def test_stripping_for_nothing_wants_a_word(bought, act):
    with pytest.raises(Refused, match="No part is named"):
        services.strip(act(), bought, lines=[])
    services.strip(act(), bought, lines=[], words="all of it corroded")

    assert Job.objects.get(pk=bought.pk).closed_as == "STRIPPED"


def test_what_came_out_is_no_cost_and_no_gain_of_the_stripped_machine(bought, act, shop):
    before = costs.of_jobs([bought.pk], shop)[bought.pk].cost.total_minor

    services.strip(act(), bought, lines=[PUMP])
    assert costs.of_jobs([bought.pk], shop)[bought.pk].cost.total_minor == before
    services.take_back_ending(act(), Ending.objects.get())

    after = costs.of_jobs([bought.pk], shop)[bought.pk]
    assert (after.cost.total_minor, after.part_names) == (before, ())


@pytest.mark.parametrize("how", ENDINGS)
def test_no_such_ending_counts_as_sold_and_none_stays_on_a_list(bought, act, how):
    end_each(act(), bought)[how]()

    assert costs.returns().sold == 0
    assert (lists.by_station(NOON.date()), lists.for_sale(NOON.date())) == ([], [])


# Scrapped, given back, kept


def test_scrapping_wants_the_cord_cut(bought, act):
    with pytest.raises(Refused, match="Cut the cord off") as refused:
        services.scrap(act(), bought, words="boiler split", taken_to="", cord_cut=False)

    assert (refused.value.field, Ending.objects.count()) == ("cord_cut", 0)


def test_giving_back_for_less_than_was_paid_wants_a_word(bought, act):
    with pytest.raises(Refused, match=r"£85\.00 was paid to the seller"):
        services.give_back(act(), bought, words="not as described", refund_minor=5000)
    services.give_back(act(), bought, words="not as described", refund_minor=5000, owed_words="the rest by Friday")

    row = Ending.objects.get()
    assert (row.money_minor, row.owed_words, row.person.name) == (5000, "the rest by Friday", "S. Seller")


def test_more_than_was_paid_is_not_paid_back(bought, act):
    with pytest.raises(Refused, match="Only £85"):
        services.give_back(act(), bought, words="x", refund_minor=8501)


def test_a_seller_not_paid_yet_is_owed_nothing_once_it_went_back(bought, act, owner):
    PaymentFactory(purchase=bought.purchase, amount_minor=0, by=owner)
    assert [line.amount_minor for line in owed.lines()] == [8500]

    services.give_back(act(), bought, words="not as described", refund_minor=0)

    assert owed.lines() == []


def test_what_came_back_goes_home_to_the_buyer_of_its_first_job(owner, shop, act):
    first = JobFactory(closed_at=NOON, closed_by=owner, closed_as="SOLD_PROVED")
    sale = SaleFactory(job=first)
    back = JobFactory(machine=first.machine, kind="CAME_BACK", first_job=first, cause="FAULT")

    services.give_back(act(), back, words="new group seal", untested_words="at the buyer's wish")

    row = Ending.objects.get()
    assert (row.person, row.money_minor) == (sale.buyer, None)


def test_nobody_to_give_it_back_to_is_said(job, act):
    with pytest.raises(Refused, match="Nobody is known to give it back to"):
        services.give_back(act(), job, words="x")


def test_the_journal_never_names_the_person(bought, act):
    services.give_back(act(), bought, words="not as described", refund_minor=8500)

    entry = bought.journal.get(verb="give_back")
    assert "S. Seller" not in f"{entry.sentence}{entry.before}{entry.after}"


# Pages and papers


@pytest.mark.parametrize("page", ["strip", "scrap", "give_back", "keep"])
def test_each_ending_says_before_the_press_what_stands_in_its_way(client_in, bought, page):
    bought.purchase.hold_until_on = date(2999, 1, 1)
    bought.purchase.save()
    SaleFactory(job=bought)

    shown = client_in.get(reverse(f"pricing:{page}", args=[bought.machine.slug])).content.decode()

    assert "cancel the reservation first" in shown
    assert "disabled" not in shown


def test_half_a_line_is_refused_beside_its_box_and_kept(client_in, bought):
    url = reverse("pricing:strip", args=[bought.machine.slug])

    refused = client_in.post(url, {"part_1": "Pump", "one_1": "x"})

    page = refused.content.decode()
    assert refused.status_code == 422
    assert "How many pieces?" in page
    assert "This is not an amount." in page
    assert 'value="Pump"' in page


def test_the_strip_list_prints_every_line_and_the_value_stated(client_in, bought):
    url = reverse("pricing:strip", args=[bought.machine.slug])
    typed = {"part_1": "Pump", "qty_1": "1", "one_1": "25", "part_3": "Group seal", "qty_3": "2", "one_3": "3.00"}

    answered = client_in.post(url, typed, follow=True)

    page = answered.content.decode()
    assert answered.redirect_chain[-1][0] == reverse("pricing:ended", args=[bought.machine.slug])
    for words in ("Strip list of", "Pump", "Group seal", "£6.00", "£31.00", "cord cut off"):
        assert words in page


@pytest.mark.parametrize(
    ("page", "typed", "words"),
    [
        (
            "scrap",
            {"words": "boiler split", "cord_cut": "on", "taken_to": "the metal yard"},
            ["Scrap note", "metal yard"],
        ),
        (
            "give_back",
            {"words": "it was stolen", "refund_minor": "85"},
            ["Receipt", "S. Seller", "£85.00", "Tamper: 1"],
        ),
        ("keep", {"words": "for the counter"}, ["is kept", "for the counter"]),
    ],
)
def test_each_ending_leaves_its_own_paper(client_in, bought, page, typed, words):
    LoosePartFactory(job=bought, words="Tamper")

    paper = client_in.post(reverse(f"pricing:{page}", args=[bought.machine.slug]), typed, follow=True).content.decode()

    for each in words:
        assert each in paper


def test_a_job_that_has_not_ended_has_no_paper(client_in, bought):
    assert client_in.get(reverse("pricing:ended", args=[bought.machine.slug])).status_code == 404


@pytest.mark.parametrize("page", ["strip", "scrap", "give_back", "keep", "ended"])
def test_endings_are_the_owners(technician_in, bought, page):
    assert technician_in.get(reverse(f"pricing:{page}", args=[bought.machine.slug])).status_code == 403


def test_undo_on_the_record_opens_the_job_again(client_in, bought, owner):
    services.keep(Act(by=owner, at=timezone.now()), bought, words="for the counter")

    client_in.post(reverse("undo", args=[bought.journal.get(verb="keep").pk]))

    assert Job.objects.get(pk=bought.pk).closed_at is None
    assert Ending.objects.get().withdrawn_by == owner
