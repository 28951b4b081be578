"""Typing left behind is kept and offered again, and comes back with the Back button; no answer is said so."""

import pytest
from playwright.sync_api import expect

from demo_fixtures import house
from tests import factories
from tests.intake.factories import PurchaseFactory
from workshop.core.models import Draft, Shop

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def job(walk):
    factories.ShopFactory()
    owner = factories.UserFactory(username="ana", first_name="Ana", role="OWNER")
    owner.set_password(house.OWNER["password"])
    owner.save()
    job = factories.JobFactory()
    walk.open("/sign-in/")
    walk.type("Name", "ana")
    walk.type("Password", house.OWNER["password"])
    walk.press("Sign in")
    return job


def open_found(walk, job):
    """Open the page of Intake by its address and unfold the form of a finding."""
    walk.open(f"/machines/{job.machine.slug}/intake/")
    walk.page.get_by_text("Note something that does not work").click()
    return walk.page.get_by_label("What does not work")


def offer(walk):
    return walk.page.get_by_text("You typed here at")


def test_a_sentence_left_behind_is_there_again_on_the_way_back_and_offered_elsewhere(walk, job):
    found = open_found(walk, job)
    found.fill("drips from the group")
    walk.open("/bench/")
    walk.page.go_back()
    expect(found).to_have_value("drips from the group")

    walk.open("/bench/")
    walk.open(f"/machines/{job.machine.slug}/intake/")
    expect(offer(walk)).to_be_visible()
    expect(found).to_have_value("")  # a page opened anew holds nothing the app filled in


def test_a_draft_is_kept_after_a_pause_offered_put_back_and_gone_once_sent(walk, job):
    open_found(walk, job).fill("drips from the group")
    expect(walk.page.get_by_text("Draft kept")).to_be_visible()
    walk.look("draft-kept")
    draft = Draft.objects.get()
    assert draft.fields == {"words": ["drips from the group"]}
    assert draft.page == f"/machines/{job.machine.slug}/intake/"

    walk.open("/bench/")
    walk.open(draft.page)
    expect(offer(walk)).to_be_visible()
    walk.look("draft-offered")
    walk.page.get_by_role("button", name="Put it back").focus()
    walk.page.keyboard.press("Enter")
    found = walk.page.get_by_label("What does not work")
    expect(found).to_have_value("drips from the group")
    expect(found).to_be_focused()
    expect(offer(walk)).to_have_count(0)
    walk.press("Note it", within=walk.page.locator("#found"))
    expect(walk.page.locator("#status").get_by_text("Found: drips from the group")).to_be_in_viewport()

    assert Draft.objects.count() == 0
    walk.open(draft.page)
    walk.settle()
    expect(offer(walk)).to_have_count(0)


def test_a_draft_can_be_dropped(walk, job):
    open_found(walk, job).fill("drips")
    walk.open("/bench/")
    walk.open(f"/machines/{job.machine.slug}/intake/")
    walk.settle()
    walk.press("Drop it")
    expect(walk.page.locator(".draft-offer")).to_have_text("Dropped.")
    expect(walk.page.locator(".draft-offer")).to_be_focused()

    assert Draft.objects.count() == 0


def test_two_forms_of_one_page_do_not_mix_and_a_password_is_not_kept(walk, job):
    walk.open("/our-workshop/")
    person, instrument = walk.page.locator("#people form").last, walk.page.locator("#instruments form").last
    walk.page.get_by_text("Let somebody else sign in").click()
    walk.type("Name spoken at the bench", "Sam", within=person)
    walk.type("Password", "a long bench word", within=person)
    walk.page.get_by_text("Add an instrument").click()
    walk.type("Serial", "4711", within=instrument)
    walk.open("/bench/")
    walk.open("/our-workshop/")
    expect(offer(walk)).to_have_count(2)

    kept = {draft.form.split("/")[2]: draft.fields for draft in Draft.objects.all()}
    assert kept == {"people": {"user-first_name": ["Sam"]}, "instruments": {"instrument-serial": ["4711"]}}

    walk.press("Put it back", within=walk.page.locator("#people"))
    expect(person.get_by_label("Name spoken at the bench")).to_have_value("Sam")
    expect(instrument.get_by_label("Serial")).to_have_value("")
    expect(offer(walk)).to_have_count(1)


def test_a_new_word_does_not_push_out_what_is_still_offered(walk, job):
    walk.open("/places/")
    form = walk.page.locator("form[action$='/places/add/']")
    spread = form.get_by_role("checkbox")
    was = spread.is_checked()
    form.get_by_role("textbox").fill("Shelf 3")
    spread.set_checked(not was)
    walk.open("/bench/")
    walk.open("/places/")
    expect(offer(walk)).to_be_visible()
    form.get_by_role("textbox").fill("Shelf 4")
    walk.open("/bench/")
    walk.open("/places/")
    walk.press("Put it back")

    expect(form.get_by_role("textbox")).to_have_value("Shelf 4")
    expect(spread).to_be_checked(checked=not was)


def test_typing_that_was_refused_on_a_page_of_its_own_is_offered_where_the_form_stands(walk, job):
    walk.open("/our-workshop/")
    form = walk.page.locator("#people form").last
    walk.page.get_by_text("Let somebody else sign in").click()
    walk.type("Name spoken at the bench", "Sam", within=form)
    form.get_by_role("button").click()
    expect(walk.page.locator("[data-error-summary]")).to_be_visible()
    walk.page.wait_for_load_state("networkidle")
    expect(offer(walk)).to_have_count(0)  # it stands in its box
    walk.console.clear()  # the browser notes the refusal
    walk.type("Name spoken at the bench", "Sam Two", within=form)
    walk.open("/our-workshop/")

    expect(offer(walk)).to_be_visible()
    walk.press("Put it back")
    expect(form.get_by_label("Name spoken at the bench")).to_have_value("Sam Two")


def test_the_sellers_whole_number_is_not_kept(walk, job):
    Shop.objects.update(country="AU-NSW")
    PurchaseFactory(job=job)
    walk.open(f"/machines/{job.machine.slug}/intake/seller/")
    walk.type("Its whole number", "NT-0042")
    walk.type("Seller's address", "2 Tram Lane")
    expect(walk.page.get_by_text("Draft kept")).to_be_visible()

    assert Draft.objects.get().fields == {"address": ["2 Tram Lane"]}


def test_without_an_answer_the_tab_holds_the_draft_and_sends_it_later(walk, job):
    found = open_found(walk, job)
    walk.page.context.set_offline(True)
    found.fill("drips from the group")
    walk.page.wait_for_timeout(2500)
    assert Draft.objects.count() == 0

    walk.page.context.set_offline(False)
    expect(walk.page.get_by_text("Draft kept")).to_be_visible()
    assert Draft.objects.get().fields == {"words": ["drips from the group"]}


def test_a_press_without_an_answer_says_so_in_view_and_keeps_what_was_typed(walk, job):
    walk.open(f"/machines/{job.machine.slug}/intake/")
    found = walk.page.get_by_label("What does not work")
    walk.page.get_by_text("Note something that does not work").click()
    found.fill("drips from the group")
    walk.page.context.set_offline(True)
    walk.page.locator("#found").get_by_role("button", name="Note it").click()

    expect(walk.page.get_by_text("Not saved: there was no answer.")).to_be_in_viewport()
    expect(found).to_have_value("drips from the group")
    walk.page.context.set_offline(False)
    walk.console.clear()
    walk.page.locator("#found").get_by_role("button", name="Note it").click()
    expect(walk.page.locator("#status").get_by_text("Found: drips from the group")).to_be_in_viewport()
