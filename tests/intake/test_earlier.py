"""Another workshop's record: read, shown as its word, asked about, taken back; it counts for nothing of ours."""

import copy
import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from handover import record
from intake import earlier, services
from intake.models import EarlierRecord
from intake.services.earlier import differences
from tests import factories
from tests.core.test_machine_record import EXAMPLE, FILE, HOSTILE, broken, spelled
from tests.test_every_form import rows
from workshop.core import machine_record, stations
from workshop.core.acts import Odd, Refused
from workshop.core.models import JournalEntry
from workshop.desk.stations import STATIONS
from workshop.desk.undo import undoable


@pytest.fixture
def heron(shop):
    """The very machine of the example, in another workshop."""
    notes = factories.ModelNotesFactory(maker="Fennick and Low", model="Heron")
    return factories.JobFactory(machine=factories.MachineFactory(notes=notes, serial="7731-08"))


@pytest.fixture
def address(heron):
    return reverse("intake:earlier_records", args=[heron.machine.slug])


def send(client, address, data, **more):
    return client.post(address, {"file": SimpleUploadedFile("record.json", data, "application/json"), **more})


def changed(**machine):
    whole = copy.deepcopy(EXAMPLE)
    whole["record"]["machine"] |= machine
    whole["sha256"] = machine_record.hash_of(whole)
    return whole


def test_a_record_is_read_and_stands_as_their_word_in_its_own_section(client_in, heron, address):
    assert send(client_in, address, FILE.read_bytes()).status_code == 302

    page = client_in.get(heron.machine.get_absolute_url()).content.decode()
    assert "What was written of it before" in page
    assert EXAMPLE["record"]["workshop"] in page
    assert "Their word of that day" in page
    assert earlier.WHOLE in page
    whole = client_in.get(address).content.decode()
    assert "Earth path, plug to metal: 0.09\u00a0ohm, limit 0.129 ohm or less, passed" in whole
    assert "Safety valve 1.8 bar" in whole


def test_nothing_of_it_is_a_reading_and_no_station_moves(act, heron):
    def standing():
        return {s.code: (str(s.facts([heron.pk])), s.unmet(s.facts([heron.pk])[heron.pk])) for s in STATIONS}

    before = standing()
    kept = {name: count for name, count in rows().items() if "earlier" not in name.lower()}
    services.read_record(act(), heron, machine_record.read(FILE.read_bytes()))

    assert standing() == before
    after = {name: count for name, count in rows().items() if "earlier" not in name.lower()}
    assert {name for name in after if after[name] != kept[name]} == {"core.JournalEntry"}
    assert not any(stations.one(station, heron.pk).closed for station in STATIONS)


def test_a_changed_one_is_kept_and_plainly_said_to_be_changed(client_in, heron, address):
    whole = changed()
    whole["record"]["done"] = ["Boiler changed"]
    send(client_in, address, spelled(whole))

    row = EarlierRecord.objects.get()
    assert not row.intact
    assert earlier.CHANGED in client_in.get(heron.machine.get_absolute_url()).content.decode()
    assert JournalEntry.objects.get(verb="read_record").sentence.endswith("changed after it was written")


@pytest.mark.parametrize(
    ("machine", "asked"),
    [
        ({"serial": "9999-99"}, "Its serial is 9999-99 in the record, 7731-08 here."),
        ({"maker": "Corvid"}, "Its maker is Corvid in the record, Fennick and Low here."),
        ({"model": "Grebe"}, "Its model is Grebe in the record, Heron here."),
    ],
)
def test_another_machine_is_asked_about_and_a_second_press_needs_no_file(client_in, address, machine, asked):
    answer = send(client_in, address, spelled(changed(**machine)))

    page = answer.content.decode()
    assert answer.status_code == 422
    assert asked in page
    assert EarlierRecord.objects.count() == 0
    form = answer.context["form"]
    again = client_in.post(address, {"kept": form["kept"].value(), "sure": form["sure"].value()})
    assert again.status_code == 302
    assert EarlierRecord.objects.get().differs == [asked]


def test_the_same_serial_is_the_same_however_it_is_typed(act, heron):
    found = machine_record.read(spelled(changed(serial="7731 08", maker="fennick & low")))

    assert [words.split(" is ")[0] for words in differences(heron.machine, found.record)] == ["Its maker"]


def test_a_yes_to_one_record_is_no_yes_to_another(act, heron):
    first = machine_record.read(spelled(changed(serial="1")))
    second = machine_record.read(spelled(changed(serial="2")))
    with pytest.raises(Odd) as odd:
        services.read_record(act(), heron, first)

    with pytest.raises(Odd):
        services.read_record(act(), heron, second, sure=odd.value.about)


def test_one_record_is_read_once_taken_back_and_read_again(act, owner, heron):
    found = machine_record.read(FILE.read_bytes())
    entry = services.read_record(act(), heron, found)
    with pytest.raises(Refused, match="read already"):
        services.read_record(act(), heron, found)
    assert undoable([entry], owner) == {entry.pk}

    services.take_record_back(act(), EarlierRecord.objects.get(), heron)
    assert earlier.wrote(heron.machine) == []
    with pytest.raises(Refused, match="undone already"):
        services.take_record_back(act(), EarlierRecord.objects.get(), heron)
    assert undoable([entry], owner) == set()
    services.read_record(act(), heron, found)
    assert len(earlier.wrote(heron.machine)) == 1


def test_our_own_record_names_the_one_that_was_read(act, heron):
    found = machine_record.read(FILE.read_bytes())
    services.read_record(act(), heron, found)

    (head,) = earlier.in_short(heron.machine)
    assert (head["workshop"], head["sha256"], head["intact"]) == (found.record["workshop"], found.sha256, True)
    assert "New safety valve, 1.8 bar" in head["done"]
    assert record.LEFT_OUT not in json.dumps(head)


def test_what_is_written_in_it_is_text_and_never_a_page(client_in, heron, address):
    whole = changed()
    whole["record"]["done"] = ["<script>alert(1)</script>", "<b>bold</b>"]
    whole["record"]["workshop"] = "<img src=x>"
    whole["sha256"] = machine_record.hash_of(whole)
    send(client_in, address, spelled(whole))

    for page in (address, heron.machine.get_absolute_url(), reverse("record")):
        text = client_in.get(page).content.decode()
        assert "<script>alert" not in text
        assert "<img src=x>" not in text


def test_no_hostile_file_breaks_the_page_or_leaves_half_of_itself(client_in, address):
    before = rows()
    for data in [*HOSTILE.values(), *(b"[" * count for count in (1, 50, 5000))]:
        answer = send(client_in, address, data)
        assert answer.status_code == 422
        assert "error-summary" in answer.content.decode()
    assert client_in.post(address, {}).status_code == 422
    assert client_in.post(address, {"kept": "{"}).status_code == 422
    assert rows() == before


def test_200_broken_records_never_break_a_page(client_in, heron, address):
    for seed in range(200):
        before = EarlierRecord.objects.count()
        answer = send(client_in, address, spelled(broken(seed)))
        assert answer.status_code in (302, 422), seed
        assert EarlierRecord.objects.count() == before + (answer.status_code == 302), seed

    assert EarlierRecord.objects.count() > 5
    assert client_in.get(address).status_code == 200
    assert client_in.get(heron.machine.get_absolute_url()).status_code == 200
    assert len(earlier.in_short(heron.machine)) <= earlier.MOST_EARLIER


def test_the_page_costs_the_same_for_any_number_of_records(client_in, act, heron, address):
    counts = []
    for number in range(30):
        found = machine_record.read(spelled(changed(finish=f"colour {number}")))
        services.read_record(act(), heron, found)
        if number in (0, 29):
            with CaptureQueriesContext(connection) as queries:
                client_in.get(address)
            counts.append(len(queries))

    assert counts[0] == counts[1]


def test_the_page_says_what_to_do_before_the_first_record(client_in, address):
    page = client_in.get(address).content.decode()

    assert "No record read yet." in page
    assert "saved out of the handover sheet" in page
