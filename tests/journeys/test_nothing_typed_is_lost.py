"""Typing that was left behind comes back with the Back button; a press that met no answer says so."""

import pytest
from playwright.sync_api import expect

from demo_fixtures import house
from tests import factories

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


def test_a_sentence_left_behind_is_there_again_on_the_way_back_and_nowhere_else(walk, job):
    path = f"/machines/{job.machine.slug}/intake/"
    found = walk.page.get_by_label("What does not work")
    walk.open(path)
    walk.page.get_by_text("Note something that does not work").click()
    found.fill("drips from the group")
    walk.open("/bench/")
    walk.page.go_back()
    expect(found).to_have_value("drips from the group")

    walk.open("/bench/")
    walk.open(path)
    expect(found).to_have_value("")  # a page opened anew holds nothing the app filled in


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
    expect(walk.page.get_by_text("Found: drips from the group")).to_be_in_viewport()
