"""Handed over as one act, and undone until the end of the next day, by the workshop's own midnight."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from django.utils import timezone

from demo_fixtures import scenario
from handover import counter_section, services
from handover.models import HandedOver
from intake.photos import open_photo
from tests.house import NOW
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.desk import services as desk

# Ten to midnight on 15 May in Auckland, twelve hours before UTC's: two of its midnights are one of UTC's.
LATE = datetime(2026, 5, 15, 11, 50, tzinfo=UTC)
NEXT_DAY_LATE = datetime(2026, 5, 16, 11, 55, tzinfo=UTC)
DAY_AFTER = datetime(2026, 5, 16, 12, 5, tzinfo=UTC)


@pytest.fixture
def ready(demo):
    job = Job.objects.for_page().get(pk=scenario.ready_to_hand_over(demo).pk)
    act = demo.act(0, demo.owner)
    services.issue(act, job, photo=open_photo)
    services.answer_new_since(act, job, words="")
    return job


@pytest.fixture
def its_today(monkeypatch):
    """The demo's own day is today: its look into the recall registers is fresh."""
    monkeypatch.setattr(timezone, "now", lambda: NOW)


@pytest.fixture
def in_auckland():
    with timezone.override(ZoneInfo("Pacific/Auckland")):
        yield


def hand_over(demo, job, at):
    return services.hand_over(Act(by=demo.owner, at=at), job, owed_words="the rest by Friday, by transfer")


@pytest.mark.usefixtures("its_today")
def test_an_open_balance_wants_words_and_then_it_is_one_press(demo, ready, client):
    client.force_login(demo.owner)
    url = reverse("handover:hand_over", args=[ready.machine.slug])

    refused = client.post(url, {"owed_words": ""})
    done = client.post(url, {"owed_words": "the rest by Friday"})

    assert refused.status_code == 422
    assert "The balance is not nil" in refused.content.decode()
    assert done.status_code == 302
    page = client.get(done.url).content.decode()
    assert "Owed: the rest by Friday" in page
    assert "Undo: it was not handed over" in page


@pytest.mark.usefixtures("in_auckland")
def test_it_is_undone_until_the_end_of_the_workshops_next_day(demo, ready):
    hand_over(demo, ready, LATE)
    entry = JournalEntry.objects.get(verb="hand_over")

    with pytest.raises(Refused, match="too late to undo"):
        desk.undo_entry(Act(by=demo.owner, at=DAY_AFTER), entry)
    desk.undo_entry(Act(by=demo.owner, at=NEXT_DAY_LATE), entry)

    assert Job.objects.get(pk=ready.pk).closed_at is None
    assert HandedOver.objects.get().withdrawn_at == NEXT_DAY_LATE


@pytest.mark.usefixtures("in_auckland")
def test_the_page_offers_undo_on_that_day_and_the_next_by_the_workshops_clock(demo, ready):
    hand_over(demo, ready, LATE)
    row = HandedOver.objects.get()

    offered = [
        counter_section.undo_entry(row, timezone.localtime(at).date()) for at in (LATE, NEXT_DAY_LATE, DAY_AFTER)
    ]

    assert [entry is not None for entry in offered] == [True, True, False]


@pytest.mark.usefixtures("its_today")
def test_undo_beside_it_opens_the_machine_again(demo, ready, client):
    client.force_login(demo.owner)
    hand_over(demo, ready, NOW)
    page = reverse("handover:handover", args=[ready.machine.slug])
    entry = JournalEntry.objects.get(verb="hand_over")
    assert f'action="{reverse("undo", args=[entry.pk])}"' in client.get(page).content.decode()

    client.post(reverse("undo", args=[entry.pk]))

    again = client.get(page).content.decode()
    assert "Undo: it was not handed over" not in again
    assert "Hand it over" in again


def test_the_newest_sheet_is_printed_with_one_press(demo, ready, client):
    client.force_login(demo.owner)

    page = client.get(reverse("handover:handover", args=[ready.machine.slug])).content.decode()

    assert f'href="{reverse("handover:sheet_pdf", args=[ready.machine.slug, 1])}">Print sheet 1<' in page
