"""Everyday tasks with the keyboard alone: no pointer; what has the keys is ringed, in sight and under no bar."""

import re
from decimal import Decimal

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from demo_fixtures import house, pictures, scenario
from handover import services as handing
from intake.models import Mark
from intake.photos import open_photo
from tests.journeys.keys import Keys
from workshop.core.models import Job, Reading

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

WIDTHS = [(1280, 900), (390, 844)]


@pytest.fixture(params=WIDTHS, ids=lambda size: f"{size[0]} px")
def keys(request, walk):
    """Ana in a workshop with a machine at Prove and one ready to hand over, signed in by typing."""
    demo = scenario.open_house(timezone.now())
    scenario.at_prove(demo)
    handing.issue(demo.act(0, demo.owner), scenario.ready_to_hand_over(demo), photo=open_photo)
    walk.page.set_viewport_size(dict(zip(("width", "height"), request.param, strict=True)))
    walk.open("/sign-in/")
    keys = Keys(walk.page)
    keys.type("Name", house.OWNER["username"])
    keys.type("Password", house.OWNER["password"])
    keys.press("Enter")
    keys.settle()
    return keys


def open_by_find(keys, words: str, name: str) -> None:
    narrow = keys.page.viewport_size["width"] < 700
    if narrow:
        keys.enter("Menu", "summary")
    keys.type("Find", words)
    keys.press("Enter")
    keys.settle()
    keys.skip()
    keys.enter(name, "a")


def test_the_day_with_the_keyboard_alone(keys, tmp_path):
    page = keys.page
    waits = page.locator(".ledger-part", has=page.get_by_role("heading", name="Stuck"))
    stuck = waits.locator(".ledger-words", has_text="Waiting for a vacuum valve")
    expect(stuck).to_be_visible()  # what is stuck is seen without a press

    job = Job.objects.get(machine__serial="7731-44")
    open_by_find(keys, "7731-44", job.machine.name)
    expect(page.get_by_role("heading", name=job.machine.name, level=1)).to_be_visible()
    read_and_undo(keys, job)
    mark_with_photo(keys, tmp_path)
    log_a_machine(keys)
    most_to_pay(keys)
    print_the_sheet(keys)

    assert keys.faults == []


def read_and_undo(keys, job) -> None:
    """A check that is seen, a reading that is typed, and its undo: the keys go on where the card goes on."""
    readings = Reading.objects.filter(job=job, struck=False, corrected_by__isnull=True)
    keys.enter("Prove", "a")
    keys.skip()
    keys.enter("Water and pressure", "a")
    keys.enter("Yes, still so", "button")  # a place was kept, on another card
    keys.enter("All of Prove", "a")
    keys.skip()
    keys.enter("Water and pressure", "a")
    before = readings.count()
    keys.enter("None seen", "button")
    assert (readings.count(), keys.here()["words"]) == (before + 1, "Relief valve lets go into the tray")
    keys.to("Let go", "button")
    keys.press("Space")
    keys.settle()

    keys.type("Your reading", "9,1")
    keys.press("Enter")
    keys.settle()
    assert readings.filter(item="pressure").get().value == Decimal("9.1")
    keys.enter("Undo Pressure", "button")
    assert not readings.filter(item="pressure").exists()


def mark_with_photo(keys, tmp_path) -> None:
    """Four presses from the face: the zone, the kind, how large, the photo."""
    path = tmp_path / "scratch.jpg"
    path.write_bytes(pictures.flaw("SCRATCH", 3).getvalue())
    keys.skip()
    keys.enter(Job.objects.get(machine__serial="7731-44").machine.name, "a")
    keys.skip()
    keys.enter("Walk round again", "a")
    keys.skip()
    keys.enter("Front, low left: add a mark", "a")
    keys.to("Scratch", "input")
    keys.press("Space")
    keys.type("How large", "12")
    keys.to("Seen only close up", "input")
    keys.press("ArrowDown")  # the next answer of the three
    keys.to("Photo of it", "input")
    keys.page.locator("input[type=file]:focus").set_input_files(path)  # the system's own chooser opens on Enter
    expect(keys.page.locator("[data-upload-rows]")).to_contain_text("kept")
    keys.enter("Add the mark", "button")
    mark = Mark.objects.latest("pk")
    assert (mark.size_mm, mark.photo is not None) == (Decimal(12), True)


def home(keys) -> None:
    keys.enter("Second Pull", "a")


def log_a_machine(keys) -> None:
    """Three answers: what it is, what it cost and from whom, where it stands."""
    home(keys)
    keys.skip()
    keys.enter("Log a machine", "a")
    keys.skip()
    keys.choose("What is it?", "Tarnside Wren")
    keys.type("What did it cost?", "65")
    keys.type("From whom?", "K. Wray")
    keys.type("Where does it stand?", "Shelf A")
    keys.enter("Save and print tag", "button")
    assert str(Job.objects.latest("pk").machine.place) == "Shelf A"


def most_to_pay(keys) -> None:
    """Four numbers: what it should sell for, work, profit, how often one cannot be mended."""
    home(keys)
    keys.skip()
    keys.enter("What can I pay?", "a")
    keys.skip()
    keys.choose("What is it?", "Tarnside Wren")
    for words, value in (("It should sell", "310"), ("Work", "3"), ("Profit", "60"), ("Times", "10")):
        keys.to(words, "input")
        keys.press("Control+A")
        keys.page.keyboard.type(value)
    keys.enter("Work it out", "button")
    expect(keys.page.locator("#answer")).to_be_in_viewport()


def print_the_sheet(keys) -> None:
    """The sheet that was issued, on paper."""
    home(keys)
    keys.skip()
    keys.enter(Job.objects.get(machine__serial="7731-08").machine.name, "a")
    keys.enter("Hand over", "a")
    keys.skip()
    keys.to("Open sheet", "a")
    kinds = []

    def in_plain_words(route) -> None:
        """Let the server answer, but show no PDF: Chromium's viewer may swallow the key's end, and the press waits."""
        answer = route.fetch()
        kinds.append(answer.headers["content-type"])
        route.fulfill(status=answer.status, content_type="text/plain", body="the sheet")

    keys.page.route(re.compile(r"/sheet/\d+\.pdf$"), in_plain_words)
    keys.press("Enter")
    expect(keys.page.get_by_text("the sheet", exact=True)).to_be_visible()
    assert kinds == ["application/pdf"]
