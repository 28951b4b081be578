"""The workshop issues a sheet; the buyer opens its page on a small phone, without sign-in and without scripts."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.management import call_command
from playwright.sync_api import expect

from demo_fixtures import house
from handover import compose
from handover.models import BuyerLink, BuyerMessage, Sheet
from handover.words import Language

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SMALL = {"width": 320, "height": 568}
FONTS = "**/*.woff2"
SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture
def address(walk):
    """The workshop's side: sign in, issue the next sheet, read the address of the page."""
    call_command("load_demo", verbosity=0)
    walk.open("/sign-in/")
    walk.type("Name", house.OWNER["username"])
    walk.type("Password", house.OWNER["password"])
    walk.press("Sign in")
    walk.open("/machines/acacia-acre/hand-over/")
    walk.press("Issue the next sheet")
    walk.look("hand-over-with-the-buyers-page")
    link = walk.page.get_by_role("link", name="See the buyer's page").first.get_attribute("href")
    assert re.fullmatch(r"/b/[2-9a-z]{40}/", link)
    return walk.base + link


def test_a_buyer_reads_keeps_the_dates_and_writes_without_scripts(browser, address):
    phone = browser.new_context(java_script_enabled=False, viewport=SMALL).new_page()
    phone.goto(address)
    expect(phone.get_by_role("heading", level=1)).to_have_text("Acacia Acre")
    with phone.expect_download() as file:
        phone.get_by_role("link", name="Add to my calendar").click()
    assert file.value.suggested_filename == "care.ics"
    phone.get_by_role("link", name="Something is wrong").click()
    phone.get_by_label("I felt a shock").check()
    phone.get_by_label("2. Since when?").fill("this morning")
    phone.get_by_role("button", name="Send it to the workshop").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Pull the plug out now")
    assert phone.context.cookies() == []
    assert BuyerMessage.objects.latest("pk").since == "this morning"
    phone.goto(address.rsplit("/b/", 1)[0] + "/")
    expect(phone.get_by_label("Password")).to_be_visible()


# What phones of about 2018 do not know; a style they cannot read is left out, as they do.
NEWER_SELECTORS = re.compile(r":(?:has|is|where)\(")
NEWER_STYLES = re.compile(r"\s*(?:(?:row-|column-)?gap|inset|aspect-ratio)\s*:|[^:]+:[^;]*\b(?:min|max|clamp|env)\(")


def aged(css: str) -> str:
    def known(rule: re.Match[str]) -> str:
        styles = [style for style in rule[2].split(";") if not NEWER_STYLES.match(style)]
        return "" if NEWER_SELECTORS.search(rule[1]) else f"{rule[1]}{{{';'.join(styles)}}}"

    return re.sub(r"([^{}]*)\{([^{}]*)\}", known, re.sub(r"/\*.*?\*/", "", css, flags=re.DOTALL))


def test_an_old_phone_leaves_nothing_out_that_matters(browser, address):
    phone = browser.new_context(java_script_enabled=False, viewport=SMALL).new_page()
    phone.route(FONTS, lambda route: route.abort())
    phone.route("**/*.css", lambda route: route.fulfill(response=(sent := route.fetch()), body=aged(sent.text())))
    for path in ("", "?large=1", "wrong/", "wrong/unplug/"):
        phone.goto(address + path)
        assert phone.evaluate(SIDEWAYS) == 0, path
        expect(phone.get_by_role("link", name=re.compile("^Call us: ")).first).to_be_visible()
    phone.goto(address)
    ground = "e => parseFloat(getComputedStyle(e, '::before').width)"  # dark words on it, else on the dark edge
    assert phone.locator(".tag-header").evaluate(ground) > SMALL["width"] / 2


@pytest.mark.parametrize("colours", ["light", "dark"])
def test_every_page_of_it_is_without_fault_and_no_wider_than_a_small_phone(browser, address, colours):
    page = browser.new_context(viewport=SMALL, color_scheme=colours).new_page()
    heard = []
    page.on("console", lambda message: message.location["url"].endswith(".woff2") or heard.append(message.text))
    page.on("pageerror", lambda error: heard.append(str(error)))
    for path in ("", "?large=1", "wrong/", "wrong/?large=1", "wrong/kept/", "wrong/unplug/", "nothing/"):
        is_without_fault(page, address + path)
    assert [words for words in heard if "404" not in words] == []


def is_without_fault(page, address):
    """Open a page: axe finds nothing, no type is under 16 px, nothing past its edge, in the phone's own type too."""
    page.route(FONTS, lambda route: route.abort())
    page.goto(address)
    assert page.evaluate(SIDEWAYS) == 0, f"{address} until our type is there"
    page.unroute(FONTS)
    page.goto(address)
    page.evaluate("document.fonts.ready.then(() => true)")
    faults = [f"{v['id']}: {n['html'][:160]}" for v in Axe().run(page).response["violations"] for n in v["nodes"]]
    assert faults == [], address
    assert page.evaluate(SIDEWAYS) == 0, address
    small = page.evaluate(
        "[...document.querySelectorAll('main *')].filter(e => e.checkVisibility() && e.innerText"
        " && parseFloat(getComputedStyle(e).fontSize) < 16).map(e => e.outerHTML.slice(0, 80))"
    )
    assert small == [], address


@pytest.mark.parametrize("language", [each for each in Language.values if each != Language.EN])
def test_it_is_without_fault_on_a_small_phone_in_every_language(browser, address, language):
    link = BuyerLink.objects.select_related("job__machine__notes", "sheet").latest("pk")
    number, day = link.sheet.number + 1, link.made_at.date()
    content = compose.sheet(link.job, number=number, issued_on=day, token=link.token, language=language)
    link.sheet = Sheet.objects.create(
        job=link.job, number=number, content=content.to_json(), sha256="1" * 64, pages=2, dated=True,
        by=link.made_by, at=link.made_at,
    )  # fmt: skip
    link.save()
    page = browser.new_context(viewport=SMALL).new_page()

    for path in ("", "?large=1", "wrong/?large=1", "wrong/kept/"):
        is_without_fault(page, address + path)
        assert page.locator("html").get_attribute("lang") == language
