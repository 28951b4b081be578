"""Hand over in the browser's eyes: what blocks, what was typed, what is served."""

import pytest
from django.test import Client
from django.urls import reverse

from demo_fixtures import scenario
from handover.models import Reservation, Sheet
from tests.house import NOW
from workshop.core.models import Job, User


@pytest.fixture
def ready(db):
    return Job.objects.for_page().get(pk=scenario.ready_to_hand_over(scenario.open_house(NOW)).pk)


@pytest.fixture
def ana(ready):
    client = Client()
    client.force_login(User.objects.get(role="OWNER"))
    return client


def url(name, job, *more):
    return reverse(f"handover:{name}", args=[job.machine.slug, *more])


def test_the_page_says_what_is_missing_before_the_button_is_pressed(ana, ready):
    page = ana.get(url("handover", ready)).content.decode()

    assert "Issue the handover sheet." in page
    assert "To come" in page


def test_pressed_too_early_handed_over_lists_what_blocks_and_stores_nothing(ana, ready):
    refused = ana.post(url("hand_over", ready), {"owed_words": "next week"})

    assert refused.status_code == 422
    assert "Issue the handover sheet." in refused.content.decode()
    ready.refresh_from_db()
    assert ready.closed_at is None


def test_more_milk_drinks_than_drinks_is_a_sentence_beside_the_field(ana, ready):
    version = Reservation.objects.get().version
    refused = ana.post(
        url("reservation_edit", ready),
        {"version": version, "drinks_per_day": "2", "milk_drinks_per_day": "3", "water": "SAME", "has_scale": "YES"},
    )

    assert refused.status_code == 422
    assert "More milk drinks than drinks" in refused.content.decode()


def test_a_stale_reservation_shows_what_it_says_now_and_keeps_what_was_typed(ana, ready):
    stale = ana.post(
        url("reservation_edit", ready),
        {"version": 99, "agreed": "with the tamper", "drinks_per_day": "4", "milk_drinks_per_day": "1", "water": "SOFT",
         "has_scale": "YES", "has_grinder": "NO", "coffee_kind": "FRESH"},
    )  # fmt: skip

    page = stale.content.decode()
    assert stale.status_code == 409
    assert "with the tamper" in page
    assert "With the small jug" in page


def test_the_preview_shows_the_sheet_and_what_is_missing(ana, ready):
    page = ana.get(url("sheet_preview", ready)).content.decode()

    assert "Your first coffee" in page
    assert "16.5" in page


def test_an_issued_sheet_is_served_to_signed_in_people_only(ana, ready):
    ana.post(url("sheet_issue", ready), {"paper": "A4"})
    sheet = Sheet.objects.get()
    address = url("sheet_pdf", ready, sheet.number)

    served = ana.get(address)
    assert b"".join(served.streaming_content)[:5] == b"%PDF-"
    assert (served["Content-Type"], served["X-Content-Type-Options"]) == ("application/pdf", "nosniff")
    assert Client().get(address).status_code == 302
