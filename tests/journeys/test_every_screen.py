"""Every screen that a link leads to, in the demo's workshop: no accessibility fault, nothing wider than the screen.

The pages are found by following links from This morning, one of each kind of page (by its URL name). Each is looked
at on a phone in light and, at 320 px, in dark colours.
"""

from urllib.parse import urlsplit

import pytest
from django.core.management import call_command
from django.urls import Resolver404, resolve
from django.utils import timezone
from playwright.sync_api import expect

from demo_fixtures import house
from handover import buyer_links, contacts
from handover.contacts import NewNote
from handover.models import BuyerLink
from handover.words_after import ContactHow, ContactWith
from workshop.core.acts import Act

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

STARTS = ("/", "/our-workshop/", "/models/", "/places/", "/condition-score/", "/past/", "/tags/")
# Not pages to look at: files, pictures, and what ends the session.
LEFT_OUT = {
    "buyer_calendar",
    "buyer_record",
    "sheet_record",
    "cancel_paper_pdf",
    "photo",
    "photo_thumb",
    "receipt_pdf",
    "sheet_pdf",
    "told_pdf",
    "machine_tag_pdf",
    "tags_pdf",
    "do_not_use_pdf",
    "place_tag_pdf",
    "pack_card_pdf",
    "test_report_pdf",
    "past_template",
}
# WCAG 2.2, success criterion 1.4.12: text spacing a reader may set.
WIDER_TEXT = """() => {
  const sheet = new CSSStyleSheet();
  const wider = ["line-height: 1.5", "letter-spacing: 0.12em", "word-spacing: 0.16em"];
  sheet.replaceSync(`* { ${wider.map((rule) => `${rule} !important`).join("; ")} }`);
  document.adoptedStyleSheets = [sheet];
}"""
FEWEST_KINDS = 45  # what the demo reaches today; fewer would mean that links were lost


def kind_of(path: str) -> str:
    try:
        return str(resolve(path).url_name)
    except Resolver404:
        return ""


@pytest.fixture
def ana(walk):
    call_command("load_demo", verbosity=0)
    walk.open("/sign-in/")
    walk.type("Name", house.OWNER["username"])
    walk.type("Password", house.OWNER["password"])
    walk.press("Sign in")
    return walk


def links_on(page) -> list[str]:
    found = page.evaluate(
        "[...document.querySelectorAll('a[href]')].map(a => new URL(a.getAttribute('href'), location).href)"
    )
    return [urlsplit(one).path for one in found if urlsplit(one).netloc == urlsplit(page.url).netloc]


def sideways(page) -> int:
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


def test_every_screen_is_without_fault_and_no_wider_than_the_phone(ana):
    page, seen, waiting, wide = ana.page, {}, list(STARTS), []
    while waiting:
        path = waiting.pop(0)
        kind = kind_of(path)
        if not kind or kind in seen or kind in LEFT_OUT or kind == "sign_out":
            continue
        page.set_viewport_size({"width": 390, "height": 844})
        page.emulate_media(color_scheme="light")
        answer = page.goto(ana.base + path)
        assert answer.status == 200, f"a link leads to {path}, which answers {answer.status}"
        seen[kind] = path
        waiting += links_on(page)
        ana.look(f"every-{kind}")
        assert sideways(page) == 0, f"{path} at 390 px"
        page.evaluate(WIDER_TEXT)
        wide += [f"{path}: {sideways(page)} px"] if sideways(page) else []
        page.evaluate("document.adoptedStyleSheets = []")
        page.set_viewport_size({"width": 320, "height": 640})
        page.emulate_media(color_scheme="dark")
        ana.look(f"every-{kind}-dark")
        assert sideways(page) == 0, f"{path} at 320 px"
    assert wide == [], "wider text scrolls sideways on a phone"
    assert len(seen) >= FEWEST_KINDS, sorted(seen)


LONG = "https://share.example/drive/folders/" + "1aBcD0eFgH" * 7  # as a phone shares a film: no place to break it


def test_a_long_address_in_what_people_write_scrolls_nothing_sideways(ana):
    link = BuyerLink.objects.filter(withdrawn_at__isnull=True).select_related("job__machine").latest("pk")
    act = Act(by=link.made_by, at=timezone.now())
    buyer_links.write_to_us(link, act.at, key="long", trouble="NOISE", since=LONG, words=f"See {LONG} please.")
    note = NewNote(ContactHow.CALL, ContactWith.BUYER, act.day, f"They sent {LONG}", LONG)
    contacts.keep(act, link.job, note)
    machine = link.job.machine.get_absolute_url()
    wide = []
    for path in (f"{machine}hand-over/", machine, f"{machine}record/", "/"):
        for width in (390, 320):
            ana.page.set_viewport_size({"width": width, "height": 844})
            assert ana.page.goto(ana.base + path).status == 200
            if path != f"{machine}record/":
                expect(ana.page.get_by_text(LONG).first).to_be_attached()
            wide += [f"{path} at {width} px: {sideways(ana.page)} px"] if sideways(ana.page) else []
    assert wide == []
