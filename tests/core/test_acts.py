"""One act is one transaction and one journal entry, pressed once or five times."""

import threading

import pytest
from django.db import IntegrityError, connection, transaction

from tests.factories import PersonFactory
from workshop.core import acts, services
from workshop.core.acts import AlreadyDone, Odd, Refused, Stale
from workshop.core.models import JournalEntry, Person, Place

PERSON = {"name": "M. Tolland", "phone": "01632 960100"}


def test_a_second_press_of_the_same_form_meets_the_first_entry(act):
    first = services.add_person(act("k1"), PERSON)

    with pytest.raises(AlreadyDone) as done:
        services.add_person(act("k1"), PERSON)

    assert done.value.entry == first
    assert Person.objects.count() == 1


def test_a_refusal_inside_an_act_stores_nothing(act):
    def half_done():
        with acts.once(act("k1")):
            Place.objects.create(name="Shelf A")
            raise Refused("No.")

    with pytest.raises(Refused):
        half_done()

    assert (Place.objects.count(), JournalEntry.objects.count()) == (0, 0)


def test_a_stale_save_names_what_the_row_says_now_and_changes_nothing(act):
    person = PersonFactory(name="M. Tolland", phone="1")
    services.change_person(act(), person, 1, {"phone": "2"})

    with pytest.raises(Stale) as stale:
        services.change_person(act(), person, 1, {"phone": "3"})

    assert (stale.value.columns, stale.value.version) == ({"phone": "2"}, 2)
    assert Person.objects.get().phone == "2"


def test_the_journal_names_a_persons_fields_and_never_their_values(act):
    entry = services.add_person(act(), {**PERSON, "email": ""})

    assert entry.after == {"fields": ["name", "phone"]}
    assert "Tolland" not in f"{entry.sentence}{entry.before}{entry.after}"


def test_the_database_refuses_to_change_or_delete_a_journal_entry(act):
    entry = services.add_person(act(), PERSON)

    for statement in ("UPDATE core_journalentry SET verb = 'x'", "DELETE FROM core_journalentry"):
        with pytest.raises(IntegrityError, match="append-only"), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)

    entry.refresh_from_db()
    assert entry.verb == "add_person"


@pytest.mark.django_db(transaction=True)
def test_five_presses_at_once_are_one_record(act):
    make, outcomes = act("k1"), []

    def press():
        try:
            services.add_person(make, PERSON)
            outcomes.append("done")
        except AlreadyDone:
            outcomes.append("already")
        finally:
            connection.close()

    presses = [threading.Thread(target=press) for _ in range(5)]
    for one in presses:
        one.start()
    for one in presses:
        one.join()

    assert sorted(outcomes) == ["already"] * 4 + ["done"]
    assert Person.objects.count() == 1


def test_a_question_after_a_yes_keeps_each_sentence_beside_its_box():
    with pytest.raises(Odd) as asked, acts.beside("price; "):
        raise Odd("Is it so heavy?", "Is it so slow?", about="slip", fields=("yield_g", "time_s"))

    assert asked.value.about == "price; slip"
    assert asked.value.beside == [("yield_g", "Is it so heavy?"), ("time_s", "Is it so slow?")]
