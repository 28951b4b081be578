"""A machine that came back goes home answered, with its cause named, and never silently without its tests."""

import pytest
from django.urls import reverse

from handover import buyer_links, going_home, messages, returns
from handover.models import Reservation
from tests.handover.test_messages import wrote
from tests.house import NOW
from workshop.bench.services import work
from workshop.core.acts import Refused
from workshop.core.models import Job
from workshop.pricing import services
from workshop.pricing.models import Ending


@pytest.fixture
def back(demo, ready, link):
    """A sold machine with its sheet, come back for a fault; nothing was done on it."""
    Job.objects.filter(pk=ready.pk).update(closed_at=NOW, closed_by=demo.owner, closed_as="SOLD_PROVED")
    sold = Job.objects.for_page().get(pk=ready.pk)
    returns.open_return(demo.act(0, demo.owner), sold, returns.NewReturn("It trips the fuse"))
    Job.objects.filter(first_job=sold).update(cause="FAULT")
    return Job.objects.for_page().get(first_job=sold)


def go(demo, back, **more):
    services.give_back(demo.act(0, demo.owner), back, words="Nothing done", **more)
    return Ending.objects.get(job=back).paper


def test_nothing_leaves_while_its_buyer_waits_for_an_answer_to_a_danger(demo, back, link):
    message = wrote(link, "WATER")

    with pytest.raises(Refused, match="wrote of a danger"):
        go(demo, back, untested_words="their wish")
    with pytest.raises(Refused, match="wrote of a danger"):
        services.scrap(demo.act(0, demo.owner), back, words="split", taken_to="", cord_cut=True)

    messages.answer(demo.act(0, demo.owner), back, message, words="Called: unplugged.")
    assert go(demo, back, untested_words="their wish")["untested"]


def test_it_goes_home_with_its_cause_named(demo, back):
    Job.objects.filter(pk=back.pk).update(cause="")

    with pytest.raises(Refused, match="Nobody named the cause yet"):
        go(demo, Job.objects.get(pk=back.pk), untested_words="their wish")


def test_a_fault_that_was_not_proved_again_wants_a_reason_which_its_paper_prints(back, ana):
    url = reverse("pricing:give_back", args=[back.machine.slug])
    typed = {"key": "g1", "words": "Nothing done"}

    refused = ana.post(url, typed)
    assert refused.status_code == 422
    assert "say why it goes home like this" in refused.content.decode()
    assert Job.objects.get(pk=back.pk).closed_at is None

    paper = ana.post(url, typed | {"untested_words": "at the buyer&wish"}, follow=True).content.decode()
    assert "It goes home without a new sheet, because: at the buyer&amp;wish" in paper
    assert paper.count("It was not tested since it came back. Have a licensed person look at it before use.") == 1


def test_the_paper_speaks_the_buyers_language_too(demo, back):
    Reservation.objects.filter(job=back.first_job).update(language="de")

    lines = go(demo, back, untested_words="eigener Fachmann")["untested"]

    assert lines[0] == "Sie geht ohne neues Blatt nach Hause, weil: eigener Fachmann"
    assert len(lines) == 4


def test_proved_again_with_its_next_sheet_it_asks_for_nothing(demo, back, monkeypatch):
    monkeypatch.setattr(going_home, "_proved_again", lambda job: True)

    assert go(demo, back) == {}


def test_a_mind_that_changed_asks_for_nothing_until_the_case_was_opened_or_a_danger_told(demo, back, link):
    Job.objects.filter(pk=back.pk).update(cause="CHANGED_MIND")
    back = Job.objects.get(pk=back.pk)
    assert going_home.untested(back, "") == []

    work.open_case(demo.act(0, demo.owner), back, why="a look inside")
    assert going_home.untested(back, "x") != []


def test_a_danger_told_and_answered_wants_the_proof_as_well(demo, back, link):
    Job.objects.filter(pk=back.pk).update(cause="CHANGED_MIND")
    messages.answer(demo.act(0, demo.owner), back, wrote(link, "WATER"), words="Called.")

    assert buyer_links.standing(back) == link
    assert going_home.untested(Job.objects.get(pk=back.pk), "x") != []
