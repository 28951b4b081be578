"""The machine record: what goes along with the machine, that it names nobody, and that its file always agrees."""

import json
from datetime import timedelta
from io import BytesIO

import jsonschema
import pytest
import rfc8785
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from demo_fixtures import scenario
from handover import care_file, compose, pdf, record, record_file, services, store
from handover.models import MachineRecord, Sheet
from handover.sheet import SheetContent
from intake import services as intake_services
from intake.models import Finding, Purchase
from intake.photos import open_photo
from tests.handover.buyers import issue
from tests.house import NOW
from workshop.bench.models import SealWork, WorkDone
from workshop.core import machine_record
from workshop.core.machine_record import shape
from workshop.core.models import Instrument, Job, ModelNotes, OutsideReport, Person, Reading, User


def written(job):
    """Return the record of a job as its file says it."""
    return json.loads(record.of(job, compose.sheet(job, number=1, issued_on=NOW.date())))


def test_every_record_of_the_demo_fits_its_schema(db):
    scenario.lay(NOW)
    jobs = Job.objects.for_page().order_by("pk")

    assert len(jobs) > 5
    for job in jobs:
        jsonschema.validate(written(job), shape.schema(), jsonschema.Draft202012Validator)


def test_the_schema_itself_is_one_and_uses_only_words_we_know():
    schema = shape.schema()
    jsonschema.Draft202012Validator.check_schema(schema)

    def words(rule):
        yield from (name for name in rule if name not in shape.NOTES)
        inside = [rule["items"]] if "items" in rule else []
        for part in (*rule.get("properties", {}).values(), *rule.get("$defs", {}).values(), *inside):
            yield from words(part)

    assert set(words(schema)) <= shape.WORDS
    assert schema["$id"] == machine_record.SCHEMA == f"urn:second-pull:machine-record:{machine_record.VERSION}"


def test_it_says_what_was_found_done_measured_and_proved(ready):
    said = written(ready)["record"]

    assert said["machine"]["serial"] == "7731-08"
    assert [mark["number"] for mark in said["condition"]["marks"]] == [1, 2, 3]
    assert {seal["end"] for seal in said["seals"]} >= {"CHANGED"}
    assert {"name": "Safety valve 1.8 bar", "pieces": 1}.items() <= said["parts"][0].items()
    assert len(said["descaling"]) == 2
    earths = [row for row in said["readings"] if row["what"].startswith("Earth")]
    assert [row["counts"] for row in earths] == [False, True]  # the case was opened in between
    earth = earths[-1]
    assert (earth["value"], earth["unit"], earth["outcome"]) == ("0.09", "ohm", "PASS")
    assert "IET" in earth["edition"] or "IET" in earth["source"]
    assert (said["recipe"]["dose_g"], said["recipe"]["yield_g"], said["recipe"]["time_s"]) == ("16.5", "34", "26.5")
    assert [shot["number"] for shot in said["shots"]] == [1, 2, 3, 4, 5, 6]
    assert [shot["counts"] for shot in said["shots"]].count(False) >= 1
    assert any(task.get("every_days") for task in said["care"])


def test_the_text_is_canonical_and_its_hash_is_of_everything_else(ready):
    text = record.of(ready, compose.sheet(ready, number=1, issued_on=NOW.date()))
    whole = json.loads(text)

    assert text.encode() == rfc8785.dumps(whole)
    assert machine_record.read(text.encode()).intact
    whole["record"]["machine"]["serial"] = "7731-09"
    assert not machine_record.read(json.dumps(whole).encode()).intact


PLANTED = ("Zebedee Quillfeather", "Quillfeather", "01632 960777", "01632960777", "zeb@quill.example", "7 Ostrich Row")


def plant(job):
    """Put the names of everybody wherever words can be typed."""
    Person.objects.update(
        name=PLANTED[0], phone=PLANTED[2], email=PLANTED[4], address=PLANTED[5], note=" ".join(PLANTED)
    )
    User.objects.filter(role="TECHNICIAN").update(first_name="Xanthippe", last_name="Oddlegs", username="xanthe77")
    words = f"{' '.join(PLANTED[:2])} says Xanthippe, Oddlegs"
    more = f"call {PLANTED[3]} or {PLANTED[2]}, {PLANTED[4]}, {PLANTED[5]}, xanthe77"
    Purchase.objects.update(said=f"{words} {more}")
    Finding.objects.create(
        job=job, words=words, end="LEFT", end_words=more, ended_at=NOW, ended_by=User.objects.first(),
        by=User.objects.first(), at=NOW,
    )  # fmt: skip
    WorkDone.objects.create(job=job, station="MEND", what=words, by=User.objects.first(), at=NOW)
    WorkDone.objects.create(job=job, station="MEND", what=more, by=User.objects.first(), at=NOW)
    position = job.machine.notes.seals.first()
    SealWork.objects.create(job=job, position=position, end="KEPT", why=words, by=User.objects.first(), at=NOW)
    report = OutsideReport.objects.create(
        job=job, measured_on=NOW.date(), who=PLANTED[0], passed=True, by=User.objects.first(), at=NOW
    )
    Reading.objects.create(
        job=job, card="x", item="extra", title="Extra", state=words[:60], outcome="RECORDED", note=more,
        reason=words, report=report, by=User.objects.first(), at=NOW,
    )  # fmt: skip


def test_a_record_read_in_that_was_changed_is_named_as_changed(demo, ready):
    theirs = json.loads(machine_record.document(written(ready)["record"]))
    theirs["record"]["done"] = ["Boiler changed"]
    read_in = machine_record.read(machine_record.canonical(theirs))
    intake_services.read_record(demo.act(0), ready, read_in)

    said = written(ready)
    assert [head["intact"] for head in said["record"]["earlier"]] == [False]
    assert machine_record.read(machine_record.canonical(said)).intact


def test_names_planted_everywhere_are_found_nowhere(ready):
    plant(ready)
    text = record.of(ready, compose.sheet(ready, number=1, issued_on=NOW.date()))

    assert record.LEFT_OUT in text
    for name in (*PLANTED, "Xanthippe", "Oddlegs", "xanthe77", "Ostrich"):
        assert name not in text, name
    jsonschema.validate(json.loads(text), shape.schema(), jsonschema.Draft202012Validator)


def test_a_person_called_like_a_common_word_takes_no_words_out(ready):
    Person.objects.filter(purchases__job=ready).update(name="A private seller")
    WorkDone.objects.create(
        job=ready, station="MEND", what="Wiped what the seller left", by=User.objects.first(), at=NOW
    )

    assert "Wiped what the seller left" in written(ready)["record"]["done"]


def test_long_words_and_odd_characters_still_make_a_record_that_can_be_read(ready):
    WorkDone.objects.create(
        job=ready, station="MEND", what="\u202e" + "w" * 118 + "\x07", by=User.objects.first(), at=NOW
    )
    Instrument.objects.update(name="i" * 80, serial="s" * 40)
    ModelNotes.objects.filter(pk=ready.machine.notes_id).update(maker="m" * 60, model="é" * 80)
    text = record.of(ready, compose.sheet(Job.objects.for_page().get(pk=ready.pk), number=1, issued_on=NOW.date()))

    assert machine_record.read(text.encode()).intact


def test_the_same_facts_give_the_same_text(ready):
    assert written(ready) == written(ready)


def test_the_issued_pdf_carries_the_very_record_that_is_kept(demo, ready):
    services.issue(demo.act(0, demo.owner), ready, photo=open_photo)

    sheet = Sheet.objects.get()
    kept = MachineRecord.objects.get(sheet=sheet).text
    data = store.path_of(sheet.sha256).read_bytes()
    carried = PdfReader(BytesIO(data)).attachments
    assert carried["record.json"] == [kept.encode()]
    assert machine_record.read(kept.encode()).intact

    content = SheetContent.from_json(sheet.content)
    files = (*care_file.attached(content), *record_file.attached(record_file.of_sheet(sheet), content.language))
    assert pdf.render(content, photo=open_photo, attached=files).sha256 == sheet.sha256


def test_a_record_once_issued_never_changes(monkeypatch, demo, ready):
    link = issue(monkeypatch, demo, ready)
    before = record_file.of_sheet(link.sheet)
    WorkDone.objects.create(job=ready, station="MEND", what="Something more", by=demo.owner, at=NOW)

    assert record_file.of_sheet(link.sheet) == before
    with pytest.raises(Exception, match="append-only"):
        MachineRecord.objects.update(text="{}")


@pytest.fixture
def owners(demo):
    client = Client()
    client.force_login(demo.owner)
    return client


def test_it_is_saved_from_hand_over_and_from_the_buyers_page(monkeypatch, owners, demo, ready):
    link = issue(monkeypatch, demo, ready, days_ago=0)
    text = record_file.of_sheet(link.sheet)
    ours = owners.get(reverse("handover:sheet_record", args=[ready.machine.slug, link.sheet.number]))
    link.expires_on = NOW.date() + timedelta(days=4000)
    link.save()
    theirs = Client().get(reverse("handover:buyer_record", args=[link.token]))

    for answer in (ours, theirs):
        assert (answer.status_code, answer["Content-Type"]) == (200, "application/json")
        assert answer.content.decode() == text
        assert answer["Content-Disposition"].startswith("attachment")
    page = Client().get(reverse("handover:buyer_page", args=[link.token])).content.decode()
    assert reverse("handover:buyer_record", args=[link.token]) in page


def test_a_sheet_of_before_records_has_none_and_says_nothing(owners, demo, ready):
    content = compose.sheet(ready, number=1, issued_on=NOW.date())
    sheet = Sheet.objects.create(
        job=ready, number=1, content=content.to_json(), sha256="0" * 64, pages=2, dated=False, by=demo.owner, at=NOW
    )
    name = ready.machine.slug

    assert record_file.attached(record_file.of_sheet(sheet), "en") == ()
    assert owners.get(reverse("handover:sheet_record", args=[name, 1])).status_code == 404
    assert "record.json" not in owners.get(reverse("handover:handover", args=[name])).content.decode()
