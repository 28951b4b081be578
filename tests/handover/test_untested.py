"""Sold untested or faulty: told, labelled, paid or owed in words; never a settings card or a sheet."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from demo_fixtures import scenario
from handover import endings, services
from handover.endings import UntestedSale
from handover.models import Sheet, Told
from intake.models import Bag, RecallCheck
from tests.factories import JobFactory
from tests.house import NOW
from workshop.bench.services import prove, work
from workshop.bench.services.measured import Typed
from workshop.core.acts import Refused
from workshop.core.models import Job, JournalEntry, Machine, Reading, Shop
from workshop.pricing import costs, owed
from workshop.pricing.models import Ending, Sale
from workshop.trade.safety import labels


@pytest.fixture
def faulty(demo):
    """The Plover at Mend: its ready light does not go out, and nothing was measured."""
    scenario.at_mend(demo)
    return Job.objects.for_page().get()


def sale(**more):
    values = {
        "buyer_name": "R. Tinker",
        "buyer_phone": "01632 960111",
        "price_minor": 4000,
        "paid_minor": 4000,
        "method": "cash",
        "owed_words": "",
        "label_on": True,
        "plug_cut": False,
    }
    return UntestedSale(**values | more)


def sell(demo, job, days_ago=0, **more):
    return endings.sell_untested(demo.act(days_ago, demo.owner), job, Shop.objects.get(), sale(**more))


def tell(demo, job):
    return endings.tell_as_it_is(demo.act(0), job, how="SPOKEN")


def test_every_open_finding_and_every_test_not_made_is_told(demo, faulty):
    tell(demo, faulty)

    told = Told.objects.get()
    assert told.left == ["Ready light does not go out"]
    assert "Leak after 30 minutes hot" in told.not_tested
    assert "Coffee: no two shots agree" in told.not_tested
    assert [mark["number"] for mark in told.marks] == [1]


def test_a_failed_reading_is_a_fault_and_not_a_test_left_out(demo, faulty):
    for code in ("visual", "case_shut"):
        prove.read(demo.act(0.1), faulty, code, Typed(answer="good"))
    prove.read(demo.act(0.1), faulty, "earth", Typed(value=Decimal("0.41")))

    telling = endings.to_tell(faulty)

    assert any(words.startswith("Earth path, plug to metal failed") for words in telling.left)
    assert "Earth path, plug to metal" not in telling.not_tested


def test_it_is_not_sold_before_the_buyer_was_told(demo, faulty):
    with pytest.raises(Refused, match="Tell the buyer every fault"):
        sell(demo, faulty)
    assert (Sale.objects.count(), Ending.objects.count()) == (0, 0)


def test_what_was_found_since_is_told_again(demo, faulty):
    tell(demo, faulty)
    faulty.findings.filter(end="MENDED").update(end="OPEN", ended_at=None, ended_by=None)

    with pytest.raises(Refused, match="was not told all of it"):
        sell(demo, faulty)


def test_told_labelled_and_paid_the_job_ends_with_its_paper(demo, faulty):
    tell(demo, faulty)

    sell(demo, faulty)

    row = Ending.objects.get()
    assert (Job.objects.get().closed_as, row.person.name) == ("SOLD_UNTESTED", "R. Tinker")
    assert row.paper["title"] == labels.UK.title
    assert ["Faults told", ["Ready light does not go out"]] in row.paper["told"]
    assert owed.lines() == []
    assert Sheet.objects.count() == 0


@pytest.mark.parametrize(
    ("more", "field", "sentence"),
    [
        ({"label_on": False}, "label_on", "Print the label"),
        ({"buyer_name": ""}, "buyer_name", "Who takes it"),
        ({"price_minor": None}, "price_minor", "For how much"),
        ({"paid_minor": 4001}, "paid_minor", "more than is to come"),
        ({"paid_minor": 1000}, "owed_words", "balance is not nil"),
    ],
)
def test_each_thing_missing_is_said_at_its_own_box_and_nothing_is_kept(demo, faulty, more, field, sentence):
    tell(demo, faulty)

    with pytest.raises(Refused, match=sentence) as refused:
        sell(demo, faulty, **more)

    assert refused.value.field == field
    assert (Sale.objects.count(), Ending.objects.count()) == (0, 0)


def test_a_balance_owed_in_words_stands_in_owed(demo, faulty):
    tell(demo, faulty)

    sell(demo, faulty, paid_minor=1000, owed_words="the rest on Friday")

    assert [(line.person, line.amount_minor) for line in owed.lines()] == [("R. Tinker", 3000)]


def test_new_zealand_wants_its_plug_cut_off(demo, faulty):
    Shop.objects.update(country="NZ")
    tell(demo, faulty)

    with pytest.raises(Refused, match="Cut the plug off") as refused:
        sell(demo, faulty)
    assert refused.value.field == "plug_cut"

    sell(demo, faulty, plug_cut=True)
    assert Ending.objects.get().paper["title"] == "DISABLED: NOT SAFE TO USE"


def test_a_hold_an_open_case_and_a_recall_stand_in_the_way(demo, faulty):
    faulty.purchase.hold_until_on = date(2999, 1, 1)
    faulty.purchase.save()
    work.open_case(demo.act(0.1), faulty, why="a look inside")
    check = RecallCheck.objects.get(job=faulty)
    RecallCheck.objects.create(job=faulty, looked_on=check.looked_on, found="RECALLED", by=demo.owner, at=NOW)

    reasons = " ".join(endings.before(faulty, NOW.date(), endings.to_tell(faulty)))

    for words in (
        "On hold by law until 1 January 2999: no sale",
        "The case is open",
        "It is recalled",
        "Tell the buyer",
    ):
        assert words in reasons


def test_a_serial_nobody_spoke_of_is_asked_for_and_never_called_unreadable(demo, faulty, owner_in):
    Machine.objects.update(serial="", serial_unreadable=False)
    faulty = Job.objects.for_page().get()
    tell(demo, faulty)
    label = reverse("handover:untested_label", args=[faulty.machine.slug])

    with pytest.raises(Refused, match="say that it cannot be read, on Intake"):
        sell(demo, faulty)
    assert "serial not recorded" in owner_in.get(label).content.decode()

    Machine.objects.update(serial_unreadable=True)
    sell(demo, Job.objects.for_page().get())
    assert "serial cannot be read" in owner_in.get(label).content.decode()


def test_a_bagged_machine_is_not_sold_untested(demo, faulty):
    tell(demo, faulty)
    Bag.objects.create(job=faulty, why="Droppings inside", bagged_at=NOW, bagged_by=demo.owner)

    with pytest.raises(Refused, match=r"Droppings inside\. Keep it apart .* No sale before"):
        sell(demo, faulty)


def test_a_reservation_brings_its_buyer_and_price(demo):
    job = scenario.ready_to_hand_over(demo)
    tell(demo, job)

    sell(demo, job, buyer_name="", price_minor=None, paid_minor=44000)

    assert Ending.objects.get().person.name == "M. Tolland"


def test_undone_it_is_open_again_and_what_was_paid_is_owed_back(demo, faulty):
    tell(demo, faulty)
    sell(demo, faulty)

    endings.take_back_untested(demo.act(-1, demo.owner), Ending.objects.select_related("job__machine").get())

    assert Job.objects.get().closed_at is None
    assert Sale.objects.get().cancelled_at is not None
    assert [(line.to_us, line.amount_minor) for line in owed.lines()] == [(False, 4000)]


def test_undone_with_a_reservation_the_reservation_stays(demo):
    job = scenario.ready_to_hand_over(demo)
    tell(demo, job)
    sell(demo, job, paid_minor=44000)

    endings.take_back_untested(demo.act(0, demo.owner), Ending.objects.select_related("job__machine").get())

    assert Sale.objects.get().cancelled_at is None


def test_undo_is_in_time_or_refused(demo, faulty):
    tell(demo, faulty)
    sell(demo, faulty)

    with pytest.raises(Refused, match="too late to undo"):
        endings.take_back_untested(demo.act(-2, demo.owner), Ending.objects.select_related("job__machine").get())


def test_it_never_counts_as_sold_proved(demo, faulty):
    tell(demo, faulty)
    sell(demo, faulty)

    assert costs.returns().sold == 0


def test_what_came_back_is_not_sold(demo):
    job = JobFactory(kind="CAME_BACK")

    assert endings.before(job, NOW.date(), endings.to_tell(job)) == [
        "It belongs to its buyer: it is given back, not sold."
    ]


def test_the_journal_names_no_buyer(demo, faulty):
    tell(demo, faulty)
    sell(demo, faulty)

    entry = JournalEntry.objects.get(verb="sell_untested")
    assert "Tinker" not in f"{entry.sentence}{entry.before}{entry.after}"


def test_telling_it_as_it_is_also_serves_a_later_reservation(demo, faulty):
    tell(demo, faulty)

    assert services.stations.not_told(faulty) == ""


# Pages


@pytest.fixture
def owner_in(demo):
    client = Client()
    client.force_login(demo.owner)
    return client


def test_the_page_prints_the_label_and_ends_in_the_note_of_sale(owner_in, demo, faulty):
    name = faulty.machine.slug
    page = owner_in.get(reverse("handover:untested", args=[name])).content.decode()
    assert "Tell the buyer every fault" in page
    owner_in.post(reverse("handover:untested_told", args=[name]), {"how": "PAPER"})
    printed = owner_in.get(reverse("handover:untested_label", args=[name])).content.decode()
    for words in ("UNTESTED OR FAULTY", "Ready light does not go out", "Not tested:", faulty.machine.name):
        assert words in printed

    typed = {"buyer_name": "R. Tinker", "price_minor": "40", "paid_minor": "40", "label_on": "on"}
    paper = owner_in.post(reverse("handover:untested_sell", args=[name]), typed, follow=True).content.decode()

    for words in ("sold untested or faulty", "R. Tinker", "£40.00", "Its electrical safety was tested"):
        assert words in paper


def test_what_was_tested_of_its_electrical_safety_is_not_denied_on_the_label(demo, faulty):
    shop, untouched = Shop.objects.get(pk=1), JobFactory(machine__stock_number=900)

    assert endings.label(untouched, shop).lines[0] == "It was not tested for electrical safety."
    assert endings.label(faulty, shop).lines[0].startswith("Its electrical safety was tested; it is sold with")
    earth = Reading.objects.get(job=faulty, item="earth")
    prove.strike(demo.act(0), faulty, earth)
    assert endings.label(faulty, shop).lines[0].startswith("Its electrical safety was tested in part only")


def test_where_nothing_was_tested_the_label_says_so_once_and_else_lists_what_was_not(owner_in, demo, faulty):
    untouched = JobFactory(machine__stock_number=900)
    nothing, something = (
        owner_in.get(reverse("handover:untested_label", args=[job.machine.slug])).content.decode()
        for job in (untouched, faulty)
    )

    assert "Not tested: nothing on it was tested." in nothing
    assert "told-tests" not in nothing
    assert "nothing on it was tested" not in something
    assert '<ul class="told-tests">' in something


def test_pressed_too_early_the_sale_says_what_is_missing_and_keeps_what_was_typed(owner_in, faulty):
    url = reverse("handover:untested_sell", args=[faulty.machine.slug])

    refused = owner_in.post(url, {"buyer_name": "R. Tinker", "price_minor": "40"})

    assert refused.status_code == 422
    assert "Tell the buyer every fault" in refused.content.decode()
    assert 'value="R. Tinker"' in refused.content.decode()


def test_a_technician_may_tell_and_print_but_not_sell(demo, faulty):
    client = Client()
    client.force_login(demo.technician)
    name = faulty.machine.slug

    assert client.get(reverse("handover:untested", args=[name])).status_code == 200
    assert client.get(reverse("handover:untested_label", args=[name])).status_code == 200
    assert client.post(reverse("handover:untested_sell", args=[name])).status_code == 403


def test_undo_on_the_record_opens_it_again(owner_in, demo, faulty):
    tell(demo, faulty)
    act = demo.act(0, demo.owner)
    late = type(act)(by=act.by, at=timezone.now() - timedelta(hours=1))
    endings.sell_untested(late, faulty, Shop.objects.get(), sale())

    owner_in.post(reverse("undo", args=[JournalEntry.objects.get(verb="sell_untested").pk]))

    assert Job.objects.get().closed_at is None
