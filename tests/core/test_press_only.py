"""An address that only takes a press, opened as a page: it leads to the page it belongs to."""

import pytest
from django.urls import reverse

from tests.pricing.factories import SightingFactory

pytestmark = pytest.mark.django_db


def test_the_address_a_refused_form_leaves_behind_leads_back_to_its_page(client_in, shop):
    row = SightingFactory()

    opened = client_in.get(reverse("pricing:sighting_buy", args=[row.pk]), follow=True)

    assert opened.redirect_chain == [(reverse("pricing:sighting", args=[row.pk]), 302)]
    assert opened.status_code == 200


@pytest.mark.parametrize("name", ["face_look", "faces_look", "walk_same"])
def test_a_press_of_the_walk_leads_to_the_walk(client_in, job, shop, name):
    opened = client_in.get(reverse(f"intake:{name}", args=[job.machine.slug]), follow=True)

    assert opened.redirect_chain[-1][0] == reverse("intake:walk", args=[job.machine.slug])
    assert opened.status_code == 200


def test_the_press_of_a_reading_leads_to_its_card(client_in, job, shop):
    opened = client_in.get(f"{job.machine.get_absolute_url()}cards/safe-to-power/earth/read/")

    assert (opened.status_code, opened["Location"]) == (
        302,
        reverse("bench:card", args=[job.machine.slug, "safe-to-power"]),
    )


def test_a_press_where_none_is_taken_gets_a_page_in_words(client_in, job, shop):
    refused = client_in.post(reverse("machine", args=[job.machine.slug]))

    assert (refused.status_code, refused["Allow"]) == (405, "GET")
    assert "This page takes no press" in refused.content.decode()
