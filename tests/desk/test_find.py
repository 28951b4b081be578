"""Find: folded words, one slip in a name, where it was found, hostile questions, constant queries."""

from datetime import UTC, datetime

import pytest
from django.core.management import call_command
from django.core.management.sql import emit_post_migrate_signal
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.desk.past import lists
from tests.factories import JobFactory, PersonFactory, UserFactory
from tests.intake.factories import FindingFactory, PurchaseFactory
from tests.pricing.factories import DecisionFactory
from workshop.core.models import Job, Place, SearchEntry
from workshop.desk import find
from workshop.desk.past import services as past
from workshop.pricing import services

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


@pytest.fixture
def house(db):
    """Three jobs with people, places and findings in several languages, indexed."""
    maple = JobFactory(machine__name="Maple Harbour", machine__slug="maple-harbour")
    maple.machine.place = Place.objects.create(name="Regal Größe")
    maple.machine.save()
    PurchaseFactory(job=maple, seller=PersonFactory(name="René Sørensen"), said="Læk ved ventilen, sagde hun")
    FindingFactory(job=maple, words="100% drips from_the tap")
    owl = JobFactory(machine__name="Owl Cinema", machine__slug="owl-cinema", machine__serial="AB-77/31")
    FindingFactory(job=owl, words="gauge stuck, maple dust inside")
    sold = JobFactory(
        machine__name="Fig Postcard", machine__slug="fig-postcard",
        closed_at=NOON, closed_by=UserFactory(), closed_as="SOLD_PROVED",
    )  # fmt: skip
    PurchaseFactory(job=sold, seller=PersonFactory(name="Jörg Müller"))
    find.rebuild()


def names(question):
    return {hit.name for hit in find.find(question).hits}


@pytest.mark.parametrize(
    ("question", "found"),
    [
        ("MAPLE harbour", {"Maple Harbour"}),
        ("arbou", {"Maple Harbour"}),
        ("regal grosse", {"Maple Harbour"}),
        ("GRÖSSE", {"Maple Harbour"}),
        ("rene sorensen", {"Maple Harbour"}),
        ("soerensen", {"Maple Harbour"}),
        ("SØRENSEN", {"Maple Harbour"}),
        ("laek ventilen", {"Maple Harbour"}),
        ("7731", {"Owl Cinema"}),
        ("ab-77/31", {"Owl Cinema"}),
        ("mueller", {"Fig Postcard"}),
        ("Muller", {"Fig Postcard"}),
        ("maple", {"Maple Harbour", "Owl Cinema"}),
        ("harbour drips", {"Maple Harbour"}),
        ("harbour gauge", set()),
    ],
)
def test_words_are_found_without_case_and_accents(house, question, found):
    assert names(question) == found


@pytest.mark.parametrize(
    ("question", "found"),
    [("100%", {"Maple Harbour"}), ("from_the", {"Maple Harbour"}), ("%", {"Maple Harbour"}), ("_", {"Maple Harbour"}),
     ("from-the", set()), ("\\", set()), ("' OR 1=1 --", set()), ("\x00\u202e", set()), ("\U0001f527", set()),
     ("x" * 5000, set()), ("ve " * 400, {"Maple Harbour"}), ("a " * 400, set()), ("  ", set())],
)  # fmt: skip
def test_hostile_questions_are_plain_text(house, client_in, question, found):
    assert names(question) == found
    assert client_in.get(reverse("find"), {"q": question}).status_code == 200


@pytest.fixture
def shelves(db):
    """Three machines on three shelves; the words of one of them hold letters of the others' names."""
    for letter in "ABC":
        place = Place.objects.create(name=f"Shelf {letter}")
        job = JobFactory(machine__name=f"{letter} Machine", machine__serial=f"HE-004{letter}", machine__place=place)
        FindingFactory(job=job, words="the crema breaks in the cup")
    find.rebuild()


@pytest.mark.parametrize(
    ("question", "found"),
    [("Shelf C", {"C Machine"}), ("shelf b", {"B Machine"}), ("c shelf", {"C Machine"}),
     ("HE 004B", {"B Machine"}), ("ch", set()), ("b", {"B Machine"}), ("h", set()),
     ("cr cu", {"A Machine", "B Machine", "C Machine"})],
)  # fmt: skip
def test_one_letter_is_a_whole_word_and_two_begin_one(shelves, question, found):
    assert names(question) == found


def test_found_in_names_no_place_where_only_a_part_of_the_question_stands(shelves):
    [hit] = find.find("HE 004C").hits

    assert hit.where == "serial"


@pytest.mark.parametrize(
    ("question", "meant"),
    [
        ("mapel harbour", "maple harbour"),
        ("Maple Harbor", "Maple harbour"),
        ("owll", "owl"),
        ("cinima", "cinema"),
        ("regla", "regal"),
    ],
)
def test_one_slip_in_a_name_is_asked_back(house, client_in, question, meant):
    found = find.find(question)
    page = client_in.get(reverse("find"), {"q": question}).content.decode()

    assert (found.hits, found.meant) == ([], (meant,))
    assert "Did you mean" in page
    assert find.find(meant).hits != []


@pytest.mark.parametrize("question", ["O'Brien", "O\u2019Brien", "obrien", "O\u02bcBRIEN", "o`brien"])
@pytest.mark.parametrize("name", ["Nora O'Brien", "Nora O\u2019Brien"])
def test_however_its_apostrophe_is_typed_a_name_is_found(db, question, name):
    job = JobFactory()
    PurchaseFactory(job=job, seller=PersonFactory(name=name))
    find.rebuild()

    assert names(question) == {job.machine.name}


@pytest.mark.parametrize("question", ["01632 960162", "+44 1632 960 162", "(01632) 960-162", "960162"])
def test_a_phone_finds_its_sellers_machines_for_the_owner_alone(db, client_in, technician_in, question):
    job = JobFactory()
    PurchaseFactory(job=job, seller=PersonFactory(phone="01632 960162"))
    JobFactory()
    find.rebuild()

    owners = client_in.get(reverse("find"), {"q": question}).context["found"]
    technicians = technician_in.get(reverse("find"), {"q": question}).context["found"]

    assert [(hit.name, hit.where) for hit in owners.hits] == [(job.machine.name, "phone")]
    assert technicians.hits == []


def test_why_it_was_decided_or_ended_is_found(act, job):
    DecisionFactory(job=job, because="the boiler is split")
    PurchaseFactory(job=job)
    find.rebuild()
    services.scrap(act(), job, words="Rust under the group", taken_to="", cord_cut=True)

    assert [hit.where for hit in find.find("split BOILER").hits] == ["why it was decided"]
    assert names("rust") == {job.machine.name}
    services.take_back_ending(act(), job.endings.get())
    assert names("rust") == set()


@pytest.mark.parametrize("question", ["K-17/3", "k-17/3"])
def test_the_reference_of_an_old_book_finds_its_machine(act, shop, question):
    headings, row = f"{lists.STOCK_HEADINGS},Reference", f"{lists.STOCK_ROW},K-17/3"
    file = lists.keep(act(), "STOCK", f"{headings}\r\n{row}".encode())
    past.bring_in(act(), shop, file, file.version)

    [hit] = find.find(question).hits

    assert (hit.name, hit.where) == (Job.objects.get().machine.name, "reference in the old book")
    assert find.find("K-17").hits == []


def test_one_slip_in_a_maker_a_model_or_a_sellers_name_is_asked_back(house):
    assert find.find("fenick").meant == ("fennick",)
    assert find.find("herron").meant == ("heron",)
    assert find.find("sorenson", knows_people=True).meant == ("sorensen",)
    assert find.find("sorenson").meant == ()


def test_what_is_no_slip_away_is_not_asked_back(house, client_in):
    assert find.find("zzzz").meant == ()
    assert "Try one word alone" in client_in.get(reverse("find"), {"q": "zzzz"}).content.decode()


@pytest.mark.parametrize(
    ("typed", "meant", "slip"),
    [
        ("mple", "maple", True),
        ("maaple", "maple", True),
        ("mqple", "maple", True),
        ("ample", "maple", True),
        ("maple", "maple", False),
        ("mlape", "maple", False),
        ("map", "maple", False),
        ("maplexx", "maple", False),
        ("mapl", "maple", True),
        ("maplee", "maple", True),
    ],
)
def test_a_slip_is_one_letter_too_many_too_few_wrong_or_two_swapped(typed, meant, slip):
    assert find.one_slip(typed, meant) is slip


def test_a_hit_says_where_it_stands_at_which_station_and_where_it_was_found(house):
    [hit] = find.find("sorensen").hits

    assert (hit.place, hit.station, hit.where, hit.closed) == ("Regal Größe", "Intake: begun", "seller", False)


def test_a_closed_job_is_found_and_marked(house, client_in):
    [hit] = find.find("postcard").hits

    assert (hit.station, hit.closed) == ("closed: sold, proved", True)
    assert "Closed: sold, proved." in client_in.get(reverse("find"), {"q": "postcard"}).content.decode()


def test_a_machine_with_two_jobs_is_one_hit_with_its_open_job(house):
    sold = SearchEntry.objects.get(folded="fig postcard").job
    JobFactory(machine=sold.machine, kind="CAME_BACK", first_job=sold, complaint="It howls")
    find.rebuild()

    assert [hit.station for hit in find.find("fig").hits] == ["Intake: begun"]
    assert [hit.name for hit in find.find("howls").hits] == ["Fig Postcard"]
    assert [hit.where for hit in find.find("mueller").hits] == ["seller"]


def test_a_technician_finds_what_their_pages_show(house, technician_in):
    assert "Maple Harbour" in technician_in.get(reverse("find"), {"q": "sorensen"}).content.decode()


def test_more_than_a_page_of_hits_says_so(client_in):
    JobFactory.create_batch(find.SHOWN + 1)
    find.rebuild()

    page = client_in.get(reverse("find"), {"q": "fennick"}).content.decode()

    assert f"The newest {find.SHOWN} are shown. Add a word" in page
    assert page.count("Found in: maker and model") == find.SHOWN


def test_find_asks_equally_often_for_one_hit_and_for_twenty(client_in):
    JobFactory()
    find.rebuild()
    url = reverse("find") + "?q=heron+fennick"
    client_in.get(url)
    with CaptureQueriesContext(connection) as one:
        client_in.get(url)
    JobFactory.create_batch(29)
    find.rebuild()

    with CaptureQueriesContext(connection) as thirty:
        client_in.get(url)

    assert len(thirty) == len(one)


def test_jobs_without_entries_are_filled_in_after_a_migration(job):
    assert SearchEntry.objects.count() == 0

    emit_post_migrate_signal(verbosity=0, interactive=False, db="default")

    assert [hit.name for hit in find.find(job.machine.name).hits] == [job.machine.name]


def test_entries_can_be_made_anew_by_command(job, capsys):
    call_command("rebuild_search")
    call_command("rebuild_search")

    assert "3 entries made anew." in capsys.readouterr().out
    assert SearchEntry.objects.count() == 3
