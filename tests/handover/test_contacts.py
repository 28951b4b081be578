"""A call or a message about a machine is kept with it, in one line with what the buyer wrote."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from handover import buyer_links, contacts, messages, privacy, timeline
from handover.models import ContactNote
from handover.words_after import ContactHow, ContactWith
from intake.came import first_came_on
from tests.handover.buyers import issue
from tests.house import NOW
from workshop.core.acts import Refused
from workshop.core.models import JournalEntry
from workshop.desk.services import undo_entry


def new(**more):
    told = {
        "how": ContactHow.CALL,
        "with_whom": ContactWith.BUYER,
        "happened_on": NOW.date(),
        "asked": "May I use soft water, asks Mr Sund on 01632 960190",
        "answered": "Yes, it lasts longer.",
    }
    return contacts.NewNote(**(told | more))


def wrote(monkeypatch, demo, ready):
    link = issue(monkeypatch, demo, ready)
    return buyer_links.write_to_us(link, NOW, key="k1", trouble="NOISE", since="today", words="It hums.")


def typed(client, address, **more):
    data = {"key": "n1", "how": "CALL", "with_whom": "BUYER", "happened_on": "2026-05-14", "asked": "Which basket?"}
    return client.post(address, data | more)


def test_a_note_is_kept_once_and_the_journal_never_holds_its_words(demo, ready, ana):
    address = reverse("handover:contact_add", args=[ready.machine.slug])
    typed(ana, address, answered="The double one.")
    typed(ana, address, answered="The double one.")

    note = ContactNote.objects.get()
    assert (note.machine, note.person) == (ready.machine, ready.reservations.get().buyer)
    entry = JournalEntry.objects.get(verb="keep_contact_note")
    assert entry.sentence == "Kept a note of a call with the buyer"
    assert "basket" not in f"{entry.sentence}{entry.before}{entry.after}"
    page = ana.get(ready.machine.get_absolute_url()).content.decode()
    assert "“Which basket?”" in page
    assert "Answered: The double one." in page


def test_the_day_has_come_and_something_was_said(ready, ana):
    address = reverse("handover:contact_add", args=[ready.machine.slug])

    tomorrow = (timezone.localdate() + timedelta(days=1)).isoformat()
    refused = typed(ana, address, happened_on=tomorrow)
    assert refused.status_code == 422
    assert "still to come" in refused.content.decode()
    assert "Which basket?" in refused.content.decode()
    assert typed(ana, address, asked="").status_code == 422
    assert not ContactNote.objects.exists()


@pytest.mark.parametrize(
    ("happened_on", "with_whom", "said"),
    [
        ("1990-05-14", "BUYER", "before the year 2000"),
        ("2010-05-14", "BUYER", "The machine came here on"),
        ("2010-05-14", "SELLER", "The machine came here on"),
    ],
)
def test_nobody_asked_of_a_machine_long_before_it_came(ready, ana, happened_on, with_whom, said):
    address = reverse("handover:contact_add", args=[ready.machine.slug])
    refused = typed(ana, address, happened_on=happened_on, with_whom=with_whom)

    assert (refused.status_code, said in refused.content.decode()) == (422, True)
    assert not ContactNote.objects.exists()


def test_a_seller_was_called_before_it_was_bought(demo, ready):
    before = first_came_on(ready.machine) - timedelta(days=20)
    contacts.keep(demo.act(0), ready, new(happened_on=before, with_whom=ContactWith.SELLER))
    with pytest.raises(Refused, match="came here on"):
        contacts.keep(demo.act(0), ready, new(happened_on=before))

    assert ContactNote.objects.get().happened_on == before


def test_notes_and_messages_stand_in_one_line_newest_first(monkeypatch, demo, ready):
    wrote(monkeypatch, demo, ready)
    contacts.keep(demo.act(3), ready, new(happened_on=(NOW - timedelta(days=3)).date(), asked="Is it loud?"))

    lines = timeline.of(ready).lines
    assert [line.what for line in lines] == ["A new noise, since today", "A call with the buyer"]
    assert timeline.of(ready).waits


def test_a_note_with_an_answer_answers_the_message_and_undo_takes_both_back(monkeypatch, demo, ready, ana):
    message = wrote(monkeypatch, demo, ready)
    address = reverse("handover:contact_about", args=[ready.machine.slug, message.pk])
    assert "It hums." in ana.get(address).content.decode()

    typed(ana, address, how="CALL", answered="Put it on a mat.")
    assert messages.waiting() == []
    assert ContactNote.objects.get().message == message
    make, page = reverse("handover:answer_add"), ana.get(ready.machine.get_absolute_url()).content.decode()
    assert f"{make}?note={ContactNote.objects.get().pk}" in page
    assert f"{make}?message=" not in page

    entry = JournalEntry.objects.get(verb="keep_contact_note")
    undo_entry(demo.act(0), entry)
    assert messages.waiting() == [message]
    assert contacts.of_machine(ready.machine) == []
    with pytest.raises(Refused, match="undone already"):
        undo_entry(demo.act(0), entry)
    page = ana.get(ready.machine.get_absolute_url()).content.decode()
    assert reverse("undo", args=[entry.pk]) not in page


def test_undo_stands_beside_a_note(demo, ready, ana):
    contacts.keep(demo.act(0), ready, new())
    note = ContactNote.objects.get()
    address = reverse("handover:contact_take_back", args=[ready.machine.slug, note.pk])
    assert address in ana.get(ready.machine.get_absolute_url()).content.decode()

    assert ana.post(address, {"key": "u1"}).status_code == 302
    assert ana.post(address, {"key": "u2"}).status_code == 422
    assert "soft water" not in ana.get(ready.machine.get_absolute_url()).content.decode()


def test_the_words_of_a_person_who_is_erased_are_emptied(demo, ready):
    contacts.keep(demo.act(0), ready, new())
    contacts.keep(demo.act(0), ready, new(with_whom=ContactWith.ASKER, asked="Still for sale?"))

    said = privacy.ROOM.forget(demo.act(0), ready.reservations.get().buyer)
    assert {new().asked, new().answered} <= set(said)
    assert list(ContactNote.objects.order_by("pk").values_list("asked", flat=True)) == ["", "Still for sale?"]


def test_the_machine_page_asks_equally_often_for_one_note_and_for_thirty(demo, ready, ana):
    def asked():
        with CaptureQueriesContext(connection) as queries:
            ana.get(ready.machine.get_absolute_url())
        return len(queries)

    contacts.keep(demo.act(0), ready, new())
    one = asked()
    for _ in range(29):
        contacts.keep(demo.act(0), ready, new())
    assert asked() == one + 0


def test_a_note_with_both_sides_leads_the_owner_to_an_answer_on_the_buyers_page(demo, ready, ana):
    contacts.keep(demo.act(0), ready, new())
    note = ContactNote.objects.get()
    link = f"{reverse('handover:answer_add')}?note={note.pk}"
    assert link in ana.get(ready.machine.get_absolute_url()).content.decode()
    assert "Yes, it lasts longer." in ana.get(link).content.decode()

    sam = Client()
    sam.force_login(demo.technician)
    assert link not in sam.get(ready.machine.get_absolute_url()).content.decode()
