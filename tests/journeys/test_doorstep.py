"""At the seller's door with a phone: from what one may pay to the tag that is stuck on."""

import pytest
from playwright.sync_api import expect

from demo_fixtures import house
from tests import factories
from workshop.core import services
from workshop.core.acts import Act
from workshop.core.models import Job

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

MOST_TYPED = 6  # four numbers (work is hours, minutes and parts), then where it stands: DEVELOPERS.md, decisions


@pytest.fixture
def ana(walk):
    """An owner at This morning, on a phone, with one model in the notes."""
    walk.page.set_viewport_size({"width": 390, "height": 844})
    factories.ShopFactory()
    owner = factories.UserFactory(username="ana", first_name="Ana", role="OWNER")
    owner.set_password(house.OWNER["password"])
    owner.save()
    services.save_notes(Act(by=owner, at=owner.date_joined), None, 0, house.WREN)
    walk.open("/sign-in/")
    walk.type("Name", "ana")
    walk.type("Password", house.OWNER["password"])
    walk.press("Sign in")
    return walk


def test_a_machine_at_the_door_is_reckoned_kept_bought_and_tagged(ana):
    ana.press("What can I pay?")
    ana.look("most-to-pay-empty")
    ana.counting = True
    ana.choose("What is it?", "Tarnside Wren")
    ana.type("It should sell for", "310")
    ana.type("Work", "3")
    ana.type("Profit wanted", "60")
    ana.type("Times in 100", "10")
    ana.page.locator("summary", has_text="More: parts").click()
    ana.type("Parts", "25")
    ana.press("Work it out")
    expect(ana.page.locator("#answer")).to_be_in_viewport()
    ana.look("most-to-pay-answer")
    ana.press("Keep it")
    ana.look("sighting")
    ana.type("Where does it stand?", "Shelf A")
    ana.press("It is bought")
    ana.look("bought")
    ana.counting = False

    machine = Job.objects.get().machine
    expect(ana.page.get_by_role("heading", name=machine.name)).to_be_visible()
    ana.press("Tag")
    ana.look("tag-from-the-door")
    assert ana.typed <= MOST_TYPED
