"""This morning, Bench, For sale, Find, Record and the Machine page: on the demo's house, and at 1 and 30 machines."""

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from demo_fixtures import scenario
from intake.models import Bag
from tests.factories import JobFactory
from tests.house import NOW
from tests.intake.factories import PurchaseFactory
from workshop.bench import stations as bench_stations
from workshop.core import services
from workshop.core.models import Job, JournalEntry, Machine, User
from workshop.core.templatetags.measures import day
from workshop.desk import frame, morning
from workshop.desk.undo import undoable

LISTS = ("home", "bench", "for_sale", "owed", "record")


@pytest.fixture
def demo(db):
    return scenario.open_house(NOW)


def signed_in(user):
    client = Client()
    client.force_login(user)
    return client


def questions(shows_money=True):
    return {q.title: q for q in morning.morning(NOW.date(), shows_money=shows_money).questions}


@pytest.mark.parametrize("name", LISTS)
def test_a_list_asks_equally_often_for_one_machine_and_for_thirty(client_in, name):
    JobFactory()
    client_in.get(reverse(name))
    with CaptureQueriesContext(connection) as one:
        client_in.get(reverse(name))
    JobFactory.create_batch(29)

    with CaptureQueriesContext(connection) as thirty:
        answered = client_in.get(reverse(name))

    assert (answered.status_code, len(thirty)) == (200, len(one))


def test_the_machine_page_asks_equally_often_for_any_length_of_record(client_in, job, act):
    url = job.machine.get_absolute_url()
    services.begin_wait(act(), job, station="MEND", kind="PART", what="a seal", who="", look_again_on=None)
    client_in.get(url)
    with CaptureQueriesContext(connection) as one:
        client_in.get(url)
    for number in range(29):
        services.begin_wait(act(), job, station="MEND", kind="PART", what=f"seal {number}", who="", look_again_on=None)

    with CaptureQueriesContext(connection) as thirty:
        client_in.get(url)

    assert len(thirty) == len(one)


def test_this_morning_names_who_is_stuck_longest_first(demo):
    scenario.at_mend(demo)
    scenario.at_prove(demo)

    stuck = questions()["Stuck"]

    assert stuck.summary == "2, longest 4 days"
    assert [row.when for row in stuck.rows] == ["4 days", "3 days"]


def test_a_machine_that_waits_is_not_called_ready(demo):
    scenario.at_mend(demo)
    scenario.at_clean(demo)

    assert [row.name for row in questions()["Ready"].rows] == [Machine.objects.get(notes__model="Wren").name]


def test_what_is_owed_stands_both_ways(demo):
    scenario.at_intake(demo)
    scenario.ready_to_hand_over(demo)

    rows = [(row.label, row.when) for row in questions()["Owed"].rows]

    assert rows == [("owes us", "£440.00"), ("we owe", "£38.00")]


def test_a_technician_sees_neither_what_is_owed_nor_any_price(demo):
    job = scenario.ready_to_hand_over(demo)
    sam = signed_in(User.objects.get(username="sam"))

    assert "Owed" not in questions(shows_money=False)
    page = sam.get(job.machine.get_absolute_url()).content.decode()
    assert "Cost so far" not in page
    assert sam.get(reverse("owed")).status_code == 403


def test_the_next_step_is_the_first_thing_missing_in_words(demo):
    scenario.at_clean(demo)
    job = Job.objects.get()
    ana = signed_in(demo.owner)

    page = ana.get(job.machine.get_absolute_url()).content.decode()

    assert "Clean the group and shower screen, or say why not." in page
    assert "begun, " in page


def test_a_machine_proved_priced_and_free_is_for_sale_until_somebody_reserves_it(demo):
    job = scenario.ready_to_hand_over(demo)
    ana = signed_in(demo.owner)
    assert job.machine.name not in ana.get(reverse("for_sale")).content.decode()

    ana.post(reverse("handover:reservation_cancel", args=[job.machine.slug]))

    assert job.machine.name in ana.get(reverse("for_sale")).content.decode()


@pytest.mark.parametrize("words", ["{name}", "7731-08", "heron", "counter fennick"])
def test_find_knows_name_serial_model_and_place_whatever_the_case(demo, words):
    job = scenario.ready_to_hand_over(demo)
    typed = words.format(name=job.machine.name.upper())

    page = signed_in(demo.owner).get(reverse("find"), {"q": typed}).content.decode()

    assert f'href="{job.machine.get_absolute_url()}"' in page


def test_find_says_so_when_nothing_matches(demo):
    page = signed_in(demo.owner).get(reverse("find"), {"q": "no such thing"}).content.decode()

    assert "No machine holds" in page


def test_undo_puts_a_reading_back_and_is_itself_recorded(demo):
    scenario.at_prove(demo)
    entry = JournalEntry.objects.filter(verb="record_reading").latest("pk")
    ana = signed_in(demo.owner)

    ana.post(reverse("undo", args=[entry.pk]))

    assert JournalEntry.objects.latest("pk").verb == "strike_reading"


def test_the_record_offers_no_undo_of_what_was_taken_back(client_in, job, act, owner):
    entry = services.begin_wait(act(), job, station="MEND", kind="PART", what="a seal", who="", look_again_on=None)
    assert undoable([entry], owner) == {entry.pk}
    client_in.post(reverse("undo", args=[entry.pk]))

    page = client_in.get(job.machine.get_absolute_url()).content.decode()

    assert reverse("undo", args=[entry.pk]) not in page
    assert undoable(JournalEntry.objects.all(), owner) == set()


def test_a_shot_that_is_out_offers_to_be_put_back_and_nothing_else(demo):
    scenario.at_prove(demo)
    pulled = JournalEntry.objects.filter(verb="add_shot").latest("pk")
    signed_in(demo.owner).post(reverse("undo", args=[pulled.pk]))
    out = JournalEntry.objects.latest("pk")

    assert undoable([pulled, out], demo.owner) == {out.pk}

    signed_in(demo.owner).post(reverse("undo", args=[out.pk]))
    back = JournalEntry.objects.latest("pk")
    assert (back.verb, undoable([pulled, out, back], demo.owner)) == ("put_shot_back", {back.pk})


def test_only_the_owner_undoes_what_is_not_bench_work(demo):
    job = scenario.ready_to_hand_over(demo)
    entry = JournalEntry.objects.get(verb="reserve")
    sam = signed_in(User.objects.get(username="sam"))

    refused = sam.post(reverse("undo", args=[entry.pk]))

    assert refused.status_code == 422
    assert job.reservations.filter(cancelled_at__isnull=True).count() == 1


def test_what_cannot_be_undone_says_so(demo):
    entry = JournalEntry.objects.filter(verb="save_notes").latest("pk")

    refused = signed_in(demo.owner).post(reverse("undo", args=[entry.pk]))

    assert refused.status_code == 422
    assert "This cannot be undone here." in refused.content.decode()


def test_a_machine_moved_meanwhile_is_a_409_that_keeps_what_was_typed(client_in, job):
    url = reverse("machine_move", args=[job.machine.slug])
    client_in.post(url, {"place": "Shelf A", "version": 1})

    stale = client_in.post(url, {"place": "Shelf B", "version": 1})

    page = stale.content.decode()
    assert stale.status_code == 409
    assert 'value="Shelf B"' in page
    assert "Shelf A" in page


def test_pressing_the_wait_twice_is_one_wait(client_in, job):
    url = reverse("wait_begin", args=[job.machine.slug])
    typed = {"station": "MEND", "kind": "PART", "what": "a pump", "key": "w1"}

    client_in.post(url, typed)
    client_in.post(url, typed)

    assert job.waits.count() == 1


def test_a_machine_in_its_bag_or_on_hold_says_so_in_its_row_of_the_bench(client_in, owner):
    bagged, held, free = JobFactory.create_batch(3)
    Bag.objects.create(job=bagged, why="Mouse nest", bagged_by=owner, bagged_at=NOW)
    until_on = timezone.localdate() + timedelta(days=3)
    PurchaseFactory(job=held, hold_until_on=until_on, hold_words="Seven days.")

    groups = client_in.get(reverse("bench")).context["groups"]
    stops = {line.name: line.stop for group in groups for line in group.lines}

    assert stops == {
        bagged.machine.name: "In its bag: Mouse nest.",
        held.machine.name: f"On hold by law until {day(until_on)}.",
        free.machine.name: "",
    }


@pytest.mark.parametrize("name", ["owed", "core:shop_edit"])
def test_the_menu_offers_a_technician_only_what_may_be_opened(client_in, technician_in, name):
    link = f'href="{reverse(name)}"'

    assert link in client_in.get(reverse("bench")).content.decode()
    assert link not in technician_in.get(reverse("bench")).content.decode()
    assert technician_in.get(reverse("core:model_notes")).status_code == 200


def test_who_is_let_in_is_a_technician_unless_said_otherwise(client_in):
    assert '<option value="TECHNICIAN" selected>' in client_in.get(reverse("core:shop_edit")).content.decode()


def test_selling_untested_is_offered_to_the_owner_alone(client_in, technician_in, job):
    page, link = (
        reverse("handover:handover", args=[job.machine.slug]),
        reverse("handover:untested", args=[job.machine.slug]),
    )

    assert link in client_in.get(page).content.decode()
    assert link not in technician_in.get(page).content.decode()


@pytest.mark.parametrize(
    ("page", "button"),
    [("bench:prove", "Go to Prove"), ("bench:mend", "Go to Mend and reseal"), ("bench:shots", "Go to Prove")],
)
def test_the_button_of_the_next_step_names_the_station(job, page, button):
    missing = SimpleNamespace(sentence="Mend it.", page=page, anchor="")
    open_station = SimpleNamespace(closed=False, unmet=[missing], station=bench_stations.PROVE)

    step = frame.next_step(job, [open_station])

    assert step["button"] == button
