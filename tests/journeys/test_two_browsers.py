"""Two browsers: the buyer reads on a phone before agreeing; the workshop agrees at a distance, sells, hands over."""

from datetime import timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.management import call_command
from django.utils import timezone
from playwright.sync_api import expect

from demo_fixtures import house
from demo_fixtures.demo import Demo
from demo_fixtures.steps_sale import set_price
from handover.models import Reservation, Sheet, Told
from workshop.core.models import Job, User
from workshop.core.templatetags.measures import day
from workshop.pricing.models import Payment, SaleLine

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PHONE = {"width": 390, "height": 844}
STATION = "/machines/turnip-banner/hand-over/"


@pytest.fixture
def workshop(walk):
    """The workshop's side: a machine proved and priced, its owner signed in."""
    call_command("load_demo", verbosity=0)
    people = {user.username: user for user in User.objects.all()}
    demo = Demo(timezone.now(), people[house.OWNER["username"]], people[house.TECHNICIAN["username"]])
    set_price(demo, 0, Job.objects.for_page().get(machine__slug="turnip-banner"), 32000)
    walk.open("/sign-in/")
    walk.type("Name", house.OWNER["username"])
    walk.type("Password", house.OWNER["password"])
    walk.press("Sign in")
    return walk


def section(walk, anchor):
    return walk.page.locator(f"#{anchor}")


def test_read_on_a_phone_agreed_at_a_distance_and_cancelled_by_a_date(browser, workshop):
    workshop.open(STATION)
    assert section(workshop, "told").get_by_text("not read yet").count() == 1
    address = section(workshop, "told").locator(".buyer-link-address a").get_attribute("href")

    read(browser, workshop.base + address)
    assert (Told.objects.get(job__machine__slug="turnip-banner").how, Told.objects.latest("pk").by) == ("LINK", None)

    workshop.open(STATION)
    expect(section(workshop, "told").get_by_text("Read at the address we sent")).to_be_visible()
    show_it_on_the_workshops_phone(workshop)
    reserve(workshop)
    workshop.look("agreed-at-a-distance")
    sell_a_tamper_and_take_a_deposit(workshop)
    hand_over(workshop)

    last = day(timezone.localdate() + timedelta(days=14))
    expect(section(workshop, "distance").get_by_text(f"They may cancel until {last}")).to_be_visible()
    workshop.open("/")
    expect(workshop.page.get_by_text(f"They may cancel until {last}")).to_be_visible()
    workshop.look("may-cancel")


def read(browser, address):
    """The buyer's side, without scripts and without sign-in."""
    page = browser.new_context(java_script_enabled=False, viewport=PHONE).new_page()
    page.goto(address)
    expect(page.get_by_role("heading", level=1)).to_have_text("Turnip Banner")
    expect(page.locator("#marks img")).to_have_count(1)
    page.get_by_role("button", name="I have read this").click()
    expect(page.get_by_text("Read on")).to_be_visible()
    assert page.context.cookies() == []
    assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") == 0
    axe = browser.new_context(viewport=PHONE).new_page()
    axe.goto(address + "?large=1")
    assert Axe().run(axe).response["violations"] == []


def show_it_on_the_workshops_phone(walk):
    """Press as the buyer does: a browser that sends no origin with it is refused as a forged press."""
    walk.press("Show it on this phone")
    walk.press("I have read this")
    expect(walk.page.get_by_role("heading", level=1)).to_have_text("Thank you")
    assert Told.objects.latest("pk").how == "SCREEN"
    walk.press("For the workshop: back to Hand over")


def reserve(walk):
    walk.page.get_by_text("Reserve it for a buyer").click()
    walk.type("Buyer", "M. Tolland", section(walk, "reservation"))
    walk.type("Price agreed", "320", section(walk, "reservation"))
    walk.choose("Agreed", "At a distance: by phone, message or web, or at their door", section(walk, "reservation"))
    walk.choose("How it gets there", "We bring it", section(walk, "reservation"))
    walk.choose("They have a grinder", "No", section(walk, "reservation"))
    walk.choose("Their coffee", "Ready-ground, from a packet", section(walk, "reservation"))
    walk.press("Reserve it", section(walk, "reservation").locator("form"))
    row = Reservation.objects.get(job__machine__slug="turnip-banner")
    assert (row.sold_how, row.goes_by, row.coffee_kind) == ("DISTANCE", "DELIVERED", "READY_GROUND")


def sell_a_tamper_and_take_a_deposit(walk):
    walk.press("Payments and extras")
    walk.page.get_by_text("Sell something with it").click()
    extra = walk.page.locator("form[action*='/extras/add/']")
    walk.type("What", "Tamper, 58 mm", extra)
    walk.type("They pay", "18", extra)
    walk.press("Add it", extra)
    assert SaleLine.objects.get(words="Tamper, 58 mm", sale__job__machine__slug="turnip-banner").tax == "STANDARD"
    paid = walk.page.locator("form[action*='/add/']:not([action*='extras'])")
    walk.type("Amount", "60", paid)
    walk.type("Paid by", "bank", paid)
    walk.press("Note the payment", paid)
    assert Payment.objects.latest("pk").amount_minor == 6000
    expect(walk.page.get_by_text("£278.00").first).to_be_visible()


def hand_over(walk):
    walk.open(STATION)
    walk.press("Counted")
    walk.press("Issue the sheet")
    assert Sheet.objects.filter(job__machine__slug="turnip-banner").count() == 1
    paper = walk.page.request.get(walk.base + STATION + "cancellation.pdf")
    assert paper.body().startswith(b"%PDF")
    walk.press("They have the paper")
    walk.press("Nothing is new")
    walk.press("Hand over is ready")
    walk.open(STATION)
    walk.type("If a balance stays open", "By bank within a week")
    walk.press("Handed over", section(walk, "hand-over"))
    walk.open(STATION)
