"""On a phone: the buyer writes, a note is kept, the machine comes back, is proved again and goes home with a sheet."""

import pytest
from django.core.management import call_command
from django.utils import timezone
from playwright.sync_api import expect

from demo_fixtures import house
from demo_fixtures.demo import Demo, sign
from demo_fixtures.machines import WREN_SHOTS
from demo_fixtures.steps_bench import clean_all, mend_all
from demo_fixtures.steps_coffee import pull, run_button, set_recipe, weigh
from demo_fixtures.steps_prove import read_all
from handover import services as handing
from handover.models import Sheet
from intake import services as intake
from workshop.core.models import Job, JournalEntry, User
from workshop.desk.services import undo_entry

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PHONE = {"width": 390, "height": 844}
NAME = "fig-postcard"


@pytest.fixture
def demo():
    """The demo's workshop, with its return not opened yet: the machine is with its buyer."""
    call_command("load_demo", verbosity=0)
    found = Demo(timezone.now(), User.objects.get(role="OWNER"), User.objects.get(role="TECHNICIAN"))
    undo_entry(found.act(0, found.owner), JournalEntry.objects.get(verb="open_return"))
    return found


@pytest.fixture
def ana(walk, demo):
    walk.page.set_viewport_size(PHONE)
    walk.open("/sign-in/")
    walk.type("Name", house.OWNER["username"])
    walk.type("Password", house.OWNER["password"])
    walk.press("Sign in")
    return walk


def prove_again(demo: Demo) -> None:
    """The bench's side of it, which other journeys walk: cleaned, a new seal, read, dialled in, counted."""
    job = Job.objects.for_page().get(machine__slug=NAME, closed_at=None)
    intake.look_at_all_faces(demo.act(0), job)
    clean_all(demo, 0, job, 20)
    mend_all(demo, 0, job, group="Group seal 8.5 mm", lock_in="half past 6", minutes=20)
    read_all(demo, 0, job)
    pull(demo, 0, job, WREN_SHOTS)
    weigh(demo, 0, job, "8", (("3", "7.1", 1), ("7.5", "18.1", 1)))
    run_button(demo, 0, job, "two cups button", "8", ("35.6", "36.4", "36.1"))
    set_recipe(demo, 0, job, dose_dial="7.5 s", left_set_at="8")
    sign(demo, 0, job, "PROVE")
    handing.receive(demo.act(0), job, lines=["filter handle", "double basket"])


def sideways(page) -> int:
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


def test_from_the_buyers_message_to_the_second_sheet(ana, demo):
    page = ana.page
    first = Sheet.objects.get(job__machine__slug=NAME)
    ana.open("/")
    ana.press("Fig Postcard")
    expect(page.get_by_text("It drips from the handle when I pull a shot.").first).to_be_visible()
    ana.open(f"/machines/{NAME}/#contact")
    page.locator("#contact a[href$='/note/']").click()
    ana.settle()
    ana.look("contact-note")
    ana.choose("It was", "A call")
    ana.type("What was answered", "Unplug it. Bring it in on Thursday.")
    ana.press("Keep the note")
    expect(page.get_by_text("Answered: Unplug it.")).to_be_visible()

    ana.press("It came back")
    ana.look("came-back-before")
    ana.type("What is wrong", "It drips from the handle when I pull a shot")
    ana.type("What changed just before?", "Nothing")
    ana.press("It is here: open the return")
    ana.tick("A fault")
    ana.type("In a sentence", "The group seal was a size too thin")
    ana.press("Save the cause")
    expect(page.get_by_text("A fault: The group seal was a size too thin")).to_be_visible()
    earth = page.locator("#then-and-now tr", has_text="Earth path")
    expect(earth).to_contain_text("Now: not yet")
    ana.look("came-back-opened")
    assert sideways(page) == 0

    prove_again(demo)
    ana.open(f"/machines/{NAME}/came-back/")
    expect(earth).not_to_contain_text("not yet")
    expect(earth).to_contain_text("Then:")
    ana.look("came-back-then-and-now")
    ana.press("Hand over", within=page.locator("#next-sheet"))
    ana.press("Issue the sheet", within=page.locator("#sheet"))
    ana.open(f"/machines/{NAME}/came-back/")
    second = Sheet.objects.filter(job__machine__slug=NAME).latest("number")
    assert second.number > first.number
    expect(page.locator("#next-sheet")).to_contain_text(f"Sheet {second.number}")
    ana.press("Give it back to its buyer")
    ana.type("What was done", "A thicker group seal; proved again")
    ana.press("It is given back")
    assert Job.objects.filter(machine__slug=NAME).latest("pk").closed_as == "GIVEN_BACK"
