"""What a buyer writes stands before the workshop until somebody has answered it."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from handover import buyer_links, messages, services, stations
from handover.models import BuyerAnswer, BuyerMessage
from tests.house import NOW
from workshop.core import stations as core_stations
from workshop.core.acts import Refused
from workshop.core.models import Job, JournalEntry
from workshop.desk import find
from workshop.desk.services import undo_entry


def wrote(link, trouble="SHOCK", key="k1", since="since Tuesday", words="At the steam knob."):
    return buyer_links.write_to_us(link, NOW, key=key, trouble=trouble, since=since, words=words)


def read(client, name, *args):
    return client.get(reverse(name, args=args)).content.decode()


def sold(demo, ready):
    Job.objects.filter(pk=ready.pk).update(closed_at=NOW, closed_by=demo.owner, closed_as="SOLD_PROVED")


def answered(client, ready, message, **typed):
    address = reverse("handover:message_answered", args=[ready.machine.slug, message.pk])
    return client.post(address, {"key": "a1", "words": "called, unplugged", **typed})


def test_this_morning_shows_it_also_after_the_sale_dangers_first_until_it_is_answered(demo, ready, link, ana):
    wrote(link, "NOISE", "k1", words="It hums.")
    danger = wrote(link, "SHOCK", "k2")
    sold(demo, ready)

    page = read(ana, "home")
    assert page.index("I felt a shock, since Tuesday. “At the steam knob.”") < page.index("It hums.")
    assert "<b>Stop:</b>" in page
    assert "Nothing is waiting" not in page
    assert ready.machine.name in page

    assert answered(ana, ready, danger).status_code == 302
    page = read(ana, "home")
    assert "I felt a shock" not in page
    assert "It hums." in page
    assert "<b>Stop:</b>" not in page


def test_a_shock_waits_before_every_other_danger(link):
    for number, trouble in enumerate(("NOISE", "WATER", "BURNING", "SHOCK"), 1):
        wrote(link, trouble, f"k{number}")

    assert [row.trouble for row in messages.waiting()] == ["SHOCK", "WATER", "BURNING", "NOISE"]


def test_every_page_of_the_machine_is_stopped_by_an_unanswered_danger(demo, ready, link, ana):
    danger = wrote(link)
    sold(demo, ready)
    assert "The buyer wrote: I felt a shock" in read(ana, "pricing:price", ready.machine.slug)

    answered(ana, ready, danger)
    assert "The buyer wrote: I felt a shock" not in read(ana, "pricing:price", ready.machine.slug)


def test_a_danger_holds_the_machine_here_until_it_is_answered(demo, ready, link):
    danger = wrote(link)

    with pytest.raises(Refused, match="wrote of a danger"):
        services.answer_new_since(demo.act(0), ready, words="")
    with pytest.raises(Refused, match="wrote of a danger"):
        services.hand_over(demo.act(0), ready, owed_words="paid on Friday")
    assert "danger" in [row.code for row in core_stations.one(stations.STATION, ready.pk).unmet]

    messages.answer(demo.act(0), ready, danger, words="Called. It was another machine.")
    services.answer_new_since(demo.act(0), ready, words="")
    services.hand_over(demo.act(0), ready, owed_words="paid on Friday")


def test_what_is_no_danger_holds_nothing_back(demo, ready, link):
    wrote(link, "TASTE")
    services.answer_new_since(demo.act(0), ready, words="")
    assert not stations.facts([ready.pk])[ready.pk].in_danger


def test_an_answer_wants_words_and_is_given_once(ready, link, ana):
    danger = wrote(link)
    refused = answered(ana, ready, danger, words="")
    assert refused.status_code == 422
    assert "Say how it was answered" in refused.content.decode()

    answered(ana, ready, danger)
    answered(ana, ready, danger)
    assert BuyerAnswer.objects.count() == 1
    assert answered(ana, ready, danger, key="a2").status_code == 422
    page = read(ana, "handover:handover", ready.machine.slug)
    assert "Answered: called, unplugged Ana" in page


def test_an_answer_is_undone_and_given_again(demo, ready, link, ana):
    danger = wrote(link)
    messages.answer(demo.act(0), ready, danger, words="called")
    entry = JournalEntry.objects.get(verb="answer_buyer")
    undo = reverse("undo", args=[entry.pk])
    assert undo in read(ana, "machine", ready.machine.slug)

    undo_entry(demo.act(0), entry)
    assert messages.waiting() == [danger]
    assert undo not in read(ana, "machine", ready.machine.slug)

    messages.answer(demo.act(0), ready, danger, words="called again")
    assert messages.waiting() == []
    with pytest.raises(Exception, match="append-only"):
        BuyerAnswer.objects.update(words="else")


def test_the_record_has_a_line_although_nobody_signed_in(ready, link, ana):
    wrote(link, "BURNING")
    line = "The buyer wrote: It smells of burning, or smokes, since Tuesday. “At the steam knob.”"

    assert line in read(ana, "machine_record", ready.machine.slug)
    assert line in read(ana, "record")
    assert line in read(ana, "machine", ready.machine.slug)


def test_find_knows_its_words(demo, ready, link):
    wrote(link, "BURNING", words="Sizzling at the back")
    sold(demo, ready)

    for words in ("burning", "sizzling"):
        (hit,) = find.find(words).hits
        assert (hit.name, hit.where) == (ready.machine.name, "what the buyer wrote")


@pytest.mark.parametrize("typed", ["Tuesday", "since Tuesday", "Since Tuesday."])
def test_since_is_said_once(link, typed):
    assert wrote(link, since=typed).since_words == "since Tuesday"


def test_this_morning_asks_equally_often_for_one_message_and_for_thirty(link, ana):
    def asked():
        with CaptureQueriesContext(connection) as queries:
            ana.get(reverse("home"))
        return len(queries)

    wrote(link)
    one = asked()
    for number in range(29):
        BuyerMessage.objects.create(link=link, key=f"n{number}", trouble="NOISE", since="today", at=NOW)
    assert asked() == one
