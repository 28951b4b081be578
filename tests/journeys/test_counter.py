"""At the counter with a phone: counted, shown card by card, filmed, printed, handed over as one act, and undone."""

import re

import pytest
from django.core.management import call_command
from playwright.sync_api import expect

from demo_fixtures import house
from handover.models import Film, HandedOver, Received, Sheet
from workshop.core.models import Job

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PHONE = {"width": 390, "height": 844}
SHORT_PHONE = {"width": 390, "height": 664}  # with the browser's own bars
PAGE = "/machines/acacia-acre/hand-over/"
FILM = "https://films.example/w/acacia-acre"


@pytest.fixture
def ana(walk):
    call_command("load_demo", verbosity=0)
    walk.page.set_viewport_size(PHONE)
    walk.open("/sign-in/")
    walk.type("Name", house.OWNER["username"])
    walk.type("Password", house.OWNER["password"])
    walk.press("Sign in")
    return walk


def overflow(page) -> tuple[int, int]:
    return tuple(
        page.evaluate(
            "[document.documentElement.scrollHeight - innerHeight, document.documentElement.scrollWidth - innerWidth]"
        )
    )


def small_type(page) -> list[str]:
    return page.evaluate(
        "[...document.querySelectorAll('main *')].filter(e => e.checkVisibility() && e.innerText"
        " && parseFloat(getComputedStyle(e).fontSize) < 16).map(e => e.outerHTML.slice(0, 80))"
    )


def show_every_card(walk) -> int:
    """Press next from the first card to the end; each whole card is on the screen, of a short phone too."""
    page, cards = walk.page, 0
    while page.get_by_role("link", name="Next", exact=True).count():
        cards += 1
        expect(page.locator(".cue-progress")).to_have_text(re.compile(rf"^{cards} of \d+$"))
        for size in (SHORT_PHONE, PHONE):
            page.set_viewport_size(size)
            assert max(overflow(page)) <= 0, f"card {cards} at {size}"
        assert small_type(page) == []
        walk.look(f"cue-card-{cards}")
        walk.press("Next")
        assert cards < 30
    return cards


def test_a_machine_is_counted_shown_filmed_printed_handed_over_and_undone(ana):
    page = ana.page
    ana.open(PAGE)
    received = page.locator("#received")
    ana.type("It goes with", "filter handle\n2 x double basket, 58 mm\ntamper", within=received)
    ana.press("Counted", within=received)
    assert Received.objects.latest("pk").lines == ["filter handle", "2 × double basket, 58 mm", "tamper"]

    ana.press("Open the cue cards")
    cards = show_every_card(ana)
    assert cards >= 9
    expect(page.get_by_role("heading", level=1)).to_have_text("That is all: 5 minutes")
    assert max(overflow(page)) <= 0
    ana.look("cue-end")
    page.keyboard.press("ArrowLeft")
    expect(page.locator(".cue-progress")).to_have_text(f"{cards} of {cards}")
    page.keyboard.press("ArrowRight")
    expect(page.locator(".cue-progress")).to_have_text("end")

    ana.press("Filmed it? Keep its address")
    film = page.locator("#film")
    film.locator("summary").click()
    ana.type("Address of the film", FILM, within=film)
    ana.tick("Grind", within=film)
    ana.tick("Pour", within=film)
    ana.press("Keep this film", within=film)
    assert Film.objects.get(address=FILM).codes == ["GRIND", "POUR"]

    ana.press("Issue the next sheet")
    sheet = Sheet.objects.latest("number")
    link = page.get_by_role("link", name=f"Print sheet {sheet.number}").get_attribute("href")
    answer = page.request.get(ana.base + link)
    assert (answer.status, answer.headers["content-type"]) == (200, "application/pdf")

    ana.press("Nothing is new")
    hand_over = page.locator("#hand-over")
    hand_over.get_by_role("button", name="Handed over").click()
    expect(page.locator("[data-error-summary]")).to_contain_text("The balance is not nil")
    ana.console = [line for line in ana.console if "422" not in line]  # the browser notes the refusal, and may
    ana.type("If a balance stays open", "the rest by Friday, by transfer", within=hand_over)
    ana.press("Handed over", within=hand_over)
    expect(page.locator("main")).to_contain_text("Owed: the rest by Friday, by transfer")
    assert Job.objects.get(machine__slug="acacia-acre").closed_as == "SOLD_PROVED"
    ana.look("handed-over")

    ana.press("Undo: it was not handed over")
    assert Job.objects.get(machine__slug="acacia-acre").closed_at is None
    assert HandedOver.objects.get(job__machine__slug="acacia-acre").withdrawn_at is not None


def test_the_cards_go_on_without_scripts(ana, browser):
    cookies = ana.page.context.cookies()
    plain = browser.new_context(java_script_enabled=False, viewport=PHONE)
    plain.add_cookies(cookies)
    page = plain.new_page()
    page.goto(f"{ana.base}{PAGE}cue-cards/1/")
    page.get_by_role("link", name="Next", exact=True).click()
    expect(page.locator(".cue-progress")).to_have_text(re.compile(r"^2 of \d+$"))
    expect(page.locator("[data-wake]")).to_be_hidden()
    page.get_by_role("link", name="Back", exact=True).click()
    expect(page.locator(".cue-progress")).to_have_text(re.compile(r"^1 of \d+$"))
