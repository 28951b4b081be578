"""Packed for a carrier: drained, each part wrapped, weighed, photographed; the card in the box names nobody."""

import io
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pypdf import PdfReader

from handover import pack_card, packing, services, stations
from handover.models import Packed, Reservation
from handover.packing import NewPack
from handover.words import GoesBy
from tests.factories import JobFactory, MachineFactory, ModelNotesFactory
from tests.pricing.factories import SaleFactory
from workshop.core import services as core
from workshop.core import stations as core_stations
from workshop.core.acts import AlreadyDone, Refused
from workshop.core.models import JournalEntry
from workshop.core.words import ClosedAs
from workshop.desk import services as desk

PARTS = ["filter handle", "2 × basket"]


@pytest.fixture
def counted(act, job):
    services.receive(act(), job, lines=PARTS)
    return job


def new(**changes):
    values = {
        "boilers_drained": True,
        "tank_drained": True,
        "wraps": [["filter handle", "cloth, in the tray"], ["2 × basket", "in the handle"]],
        "weight_kg": Decimal("19.5"),
        "insured_minor": 52000,
        "carrier": "Hollow Way Parcels",
        "tracking": "",
    }
    return NewPack(**values | changes)


def photo(colour="white"):
    from PIL import Image

    data = io.BytesIO()
    Image.new("RGB", (80, 60), colour).save(data, "JPEG")
    return SimpleUploadedFile("box.jpg", data.getvalue(), "image/jpeg")


def url(name, job):
    return reverse(f"handover:{name}", args=[job.machine.slug])


def pressed(**changes):
    values = {
        "boilers_drained": "on", "tank_drained": "on", "wrap_0": "cloth, in the tray", "wrap_1": "in the handle",
        "weight_kg": "19,5", "carrier": "Hollow Way Parcels", "insured_minor": "520",
    }  # fmt: skip
    return {name: value for name, value in (values | changes).items() if value is not None}


def test_nothing_is_packed_before_it_was_counted(act, job):
    with pytest.raises(Refused, match="Count what goes with the machine first"):
        packing.pack(act(), job, new())


@pytest.mark.parametrize("wet", ["boilers_drained", "tank_drained"])
def test_nothing_goes_out_with_water_in_it(act, counted, wet):
    with pytest.raises(Refused, match="freezes on the way"):
        packing.pack(act(), counted, new(**{wet: False}))

    assert Packed.objects.count() == 0


def test_a_grinder_has_no_water_to_drain(act, client_in, shop):
    grinder = JobFactory(machine=MachineFactory(notes=ModelNotesFactory(kind="GRINDER")))
    services.receive(act(), grinder, lines=["hopper"])

    packing.pack(act(), grinder, new(boilers_drained=False, tank_drained=False, wraps=[["hopper", "paper"]]))

    assert packing.standing(grinder).carrier == "Hollow Way Parcels"
    page = client_in.get(url("pack", grinder)).content.decode()
    assert "Boilers drained" not in page
    assert "freezes" not in page


def test_packed_twice_with_one_form_is_one_row_and_unpacking_takes_it_back(act, counted, owner):
    packing.pack(act(key="k1"), counted, new())
    with pytest.raises(AlreadyDone):
        packing.pack(act(key="k1"), counted, new())
    desk.undo_entry(act(), JournalEntry.objects.get(verb="pack"))

    assert packing.standing(counted) is None
    assert Packed.objects.count() == 2
    with pytest.raises(Refused, match="since"):
        packing.unpack(act(), Packed.objects.order_by("pk").first())


def test_after_it_has_left_only_the_tracking_number_is_kept(act, client_in, counted):
    packing.pack(act(), counted, new())
    core.close_job(act(), counted, ClosedAs.SOLD_PROVED)

    kept = client_in.post(url("pack_track", counted), {"tracking": "HW 5512 9"})

    row = packing.standing(counted)
    assert kept.status_code == 302
    assert (row.tracking, row.weight_kg, row.wraps) == ("HW 5512 9", Decimal("19.5"), new().wraps)
    assert "It is packed" not in client_in.get(url("pack", counted)).content.decode()
    with pytest.raises(Refused, match="It has left"):
        packing.pack(act(), counted, new(weight_kg=Decimal(12)))
    with pytest.raises(Refused, match="It has left"):
        packing.unpack(act(), row)


def test_no_number_without_a_box_and_none_empty(client_in, counted, act):
    assert "It is not packed." in client_in.post(url("pack_track", counted), {"tracking": "1"}).content.decode()
    packing.pack(act(), counted, new())

    refused = client_in.post(url("pack_track", counted), {"tracking": " "})

    assert refused.status_code == 422
    assert "Type the number the carrier gave." in refused.content.decode()


def test_what_is_missing_before_the_carrier_comes(act, client_in, counted):
    assert packing.missing(counted) == ["It goes by carrier: drain it, wrap every part and fill in the pack card."]
    packing.pack(act(), counted, new())
    assert packing.missing(counted) == ["Photograph the box before the carrier takes it."]

    kept = client_in.post(url("box_photo_add", counted), {"photos": [photo()]})
    services.receive(act(), counted, lines=[*PARTS, "brush"])

    assert kept.status_code == 302
    assert packing.missing(counted) == ["Counted since it was packed: brush. Pack again."]
    assert "The box it travels in" in client_in.get(url("pack", counted)).content.decode()


def test_a_machine_that_a_carrier_brings_is_not_handed_over_unpacked(act, client_in, counted):
    sale = SaleFactory(job=counted)
    made = {"made_at": act().at, "made_by": act().by}
    row = Reservation.objects.create(job=counted, sale=sale, buyer=sale.buyer, goes_by=GoesBy.CARRIER, **made)
    wants = "It goes by carrier: drain it, wrap every part and fill in the pack card."

    def blocks():
        standing = core_stations.one(stations.STATION, counted.pk)
        return stations.blocks(counted, standing, act().day, owed_words="by Friday")

    assert wants in blocks()
    assert wants in client_in.get(reverse("handover:handover", args=[counted.machine.slug])).content.decode()
    Reservation.objects.filter(pk=row.pk).update(goes_by=GoesBy.COLLECTED)
    assert wants not in blocks()


def test_the_page_takes_a_packed_machine_and_prints_its_card(client_in, counted):
    done = client_in.post(url("pack", counted), pressed())

    row = packing.standing(counted)
    assert done.status_code == 302
    assert (row.weight_kg, row.insured_minor, row.wraps) == (Decimal("19.5"), 52000, new().wraps)
    page = client_in.get(url("pack", counted)).content.decode()
    assert "Print the pack card" in page
    assert "Keep the number" in page


def test_pressed_too_early_each_gap_has_its_sentence_and_nothing_typed_is_lost(client_in, counted):
    refused = client_in.post(url("pack", counted), pressed(boilers_drained=None, wrap_1="", carrier=""))

    page = refused.content.decode()
    assert refused.status_code == 422
    assert "Drain the boilers first" in page
    assert "Say how it is wrapped" in page
    assert "Name the carrier." in page
    assert 'value="cloth, in the tray"' in page
    assert Packed.objects.count() == 0


def test_draining_is_looked_at_each_time_it_is_packed(act, client_in, counted):
    packing.pack(act(), counted, new())

    page = client_in.get(url("pack", counted)).content.decode()

    assert 'value="cloth, in the tray"' in page
    assert "checked" not in page.split('id="packform-boilers_drained"')[1][:40]


def test_the_page_cautions_before_draining_and_by_the_weight(act, client_in, counted):
    packing.pack(act(), counted, new(weight_kg=Decimal(26)))

    page = client_in.get(url("pack", counted)).content.decode()

    assert "Unplug it and let it go cold first." in page
    assert "It freezes on the way, swells and bursts them." in page
    assert "Lift it with two people" in page


def test_the_card_in_the_box_says_what_is_in_it_and_names_neither_buyer_nor_worth(act, client_in, counted):
    packing.pack(act(), counted, new(tracking="HW 5512 9"))

    answer = client_in.get(url("pack_card_pdf", counted))

    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
    assert answer.status_code == 200
    for said in (counted.machine.name, "2 × basket", "in the handle", "19.5\u00a0kg", "HW 5512 9", "It travels empty"):
        assert said in text or said.replace("\u00a0", " ") in text, said
    assert "520" not in text
    assert len(PdfReader(io.BytesIO(answer.content)).pages) == 1


def test_thirty_parts_cost_the_page_no_more_queries_than_one(act, client_in, job):
    def queries(count):
        parts = [f"part {number}" for number in range(count)]
        services.receive(act(), job, lines=parts)
        packing.pack(act(), job, new(wraps=[[part, "paper"] for part in parts]))
        with CaptureQueriesContext(connection) as asked:
            client_in.get(url("pack", job))
        return len(asked)

    assert queries(30) == queries(1)


def test_the_card_wants_a_packed_machine_and_a_signed_in_person(client_in, counted, act):
    assert client_in.get(url("pack_card_pdf", counted)).status_code == 404
    packing.pack(act(), counted, new())
    assert Client().get(url("pack_card_pdf", counted)).status_code == 302
    assert pack_card.compose(counted, packing.standing(counted)).heavy
