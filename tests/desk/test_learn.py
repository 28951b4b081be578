"""Learn from this machine, and the usual faults of a model."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from intake.models import Finding, LoosePart
from tests.bench.factories import SealPositionFactory, ShotFactory
from tests.conftest import NOON
from tests.factories import JobFactory, MachineFactory, ModelNotesFactory
from tests.pricing.factories import WorkFactory
from workshop.bench.models import DescaleRun, Recipe, SealWork
from workshop.core.acts import Refused
from workshop.core.models import JournalEntry, Reading
from workshop.desk import faults, learn
from workshop.desk.undo import UNDO
from workshop.trade.water.descaling import Agent


def left(notes, owner, *found, minutes=0):
    """A machine of this model that has left, with what it came with."""
    job = JobFactory(machine__notes=notes, closed_at=NOON, closed_by=owner, closed_as="SOLD_PROVED")
    for words in found:
        Finding.objects.create(job=job, words=words, by=owner, at=NOON)
    if minutes:
        WorkFactory(job=job, minutes=minutes)
    return job


def recipe(job, owner, **columns):
    shot = ShotFactory(job=job)
    grams = {"dose_g": "17.5", "dose_tolerance_g": "0.3", "yield_g": 35, "yield_low_g": 33, "yield_high_g": 37}
    seconds = {"time_s": 27, "first_time_s": 26, "time_low_s": 24, "time_high_s": 31}
    values = {**grams, **seconds, **columns}
    return Recipe.objects.create(job=job, first_shot=shot, second_shot=shot, set_at=NOON, set_by=owner, **values)


@pytest.fixture
def taught(shop, owner):
    """A machine whose facts, recipe, seal, descale run and loose parts its notes do not know."""
    notes = ModelNotesFactory(model="Heron", watts=1400, baskets="Double | 16 to 18 g", loose_parts="Handle")
    job = JobFactory(machine=MachineFactory(notes=notes, volts=230, watts=1400, cord_length_m="1.50", fuse_a=13))
    recipe(job, owner, basket="Single", ready_low_min="11.5", ready_high_min="12.5", ready_measured=True)
    seal = SealPositionFactory(notes=notes)
    SealWork.objects.create(job=job, position=seal, end="CHANGED", size="73 x 57 x 8", by=owner, at=NOON)
    agent = {"agent": Agent.CITRIC_ANHYDROUS.value, "strength_percent": 2, "volume_l": "1.5", "minutes": 20}
    DescaleRun.objects.create(job=job, acid_g=30, capacity_g=20, by=owner, at=NOON, **agent)
    LoosePart.objects.create(job=job, words="Drip tray", counted=1, by=owner, at=NOON)
    LoosePart.objects.create(job=job, words="Handle", counted=1, by=owner, at=NOON)
    LoosePart.objects.create(job=job, words="Lid", counted=0, by=owner, at=NOON)
    return job


def lines(job):
    return {each.code: (each.notes_say, each.machine_says) for each in learn.lessons(job)}


def test_each_line_says_what_the_notes_say_and_what_this_machine_says(taught):
    left(taught.machine.notes, taught.recipes.get().set_by, minutes=100)
    left(taught.machine.notes, taught.recipes.get().set_by, minutes=200)
    left(taught.machine.notes, taught.recipes.get().set_by, minutes=900)

    said = {code: tuple(words.replace("\u00a0", " ") for words in both) for code, both in lines(taught).items()}

    seal = taught.machine.notes.seals.get()
    assert said == {
        "volts": ("nothing yet", "230 V"),
        "watts": ("1,400 W", "1,400 W"),
        "cord_length_m": ("nothing yet", "1.5 m"),
        "fuse_a": ("nothing yet", "13 A"),
        "appliance_class": ("Class I, earthed", "Class I, earthed"),
        "dose_g": ("nothing yet", "17.5 g"),
        "yield_g": ("nothing yet", "35 g"),
        "time": ("nothing yet", "24 to 31 s"),
        "warm_up": ("nothing yet", "11 to 13 min"),
        "baskets": ("Double | 16 to 18 g", "also Single"),
        f"seal_{seal.pk}": ("nothing yet", "73 x 57 x 8"),
        "descale": ("nothing yet", said["descale"][1]),
        "usual_minutes": ("nothing yet", "200 min"),
        "loose_parts": ("Handle", "also Drip tray"),
    }
    assert said["descale"][1].startswith("1.5 L, 2 %, ")


@pytest.mark.parametrize(
    ("outcome", "says"), [("PASS", ("nothing yet", "47 W")), ("RECORDED", ("nothing yet", "47 W")), ("FAIL", None)]
)
def test_a_pump_that_read_well_teaches_its_watts(taught, owner, outcome, says):
    Reading.objects.create(
        job=taught, card="water", item="watts_pumping", title="Watts", value="46.6", unit="W", outcome=outcome,
        by=owner, at=NOON,
    )  # fmt: skip
    told = lines(taught).get("pump_watts")
    assert (told and tuple(words.replace("\u00a0", " ") for words in told)) == says


@pytest.mark.parametrize(
    ("zone", "says"),
    [("10 to 2 o'clock", ("nothing yet", "10 o'clock to 2 o'clock")), ("8 to 9 bar", None), ("", None)],
)
def test_a_gauge_read_as_a_clock_face_teaches_its_zone(taught, zone, says):
    Recipe.objects.update(gauge_zone=zone)
    assert lines(taught).get("gauge") == says


def test_a_machine_that_knows_nothing_teaches_nothing(job):
    assert [code for code in lines(job) if code != "appliance_class"] == []


def press(client, job, *codes, **typed):
    notes = job.machine.notes
    seen = learn.fingerprint(learn.lessons(job))
    data = {"chosen": codes, "version": notes.version, "seen": seen, "key": "k", **typed}
    return client.post(reverse("learn", args=[job.machine.slug]), data)


def test_one_press_writes_what_was_ticked_and_no_more(client_in, taught):
    notes = taught.machine.notes
    seal = notes.seals.get()

    assert press(client_in, taught, "volts", "time", "baskets", f"seal_{seal.pk}").status_code == 302
    press(client_in, taught, "volts", "time", "baskets", f"seal_{seal.pk}")

    notes.refresh_from_db()
    seal.refresh_from_db()
    assert (notes.volts, notes.time_low_s, notes.time_high_s, notes.dose_g) == (230, Decimal(24), Decimal(31), None)
    assert (notes.baskets, seal.size) == ("Double | 16 to 18 g\nSingle", "73 x 57 x 8")
    entry = JournalEntry.objects.get(verb="learn_notes")
    assert entry.sentence == f"Notes on {notes} learnt from {taught.machine}"
    assert entry.machine == taught.machine


def test_it_can_be_undone_until_somebody_changes_the_notes(client_in, taught, act):
    notes = taught.machine.notes
    seal = notes.seals.get()
    press(client_in, taught, "volts", "time", f"seal_{seal.pk}")
    entry = JournalEntry.objects.get(verb="learn_notes")

    UNDO["learn_notes"](act(), entry)

    notes.refresh_from_db()
    seal.refresh_from_db()
    assert (notes.volts, notes.time_low_s, seal.size) == (None, None, "")
    with pytest.raises(Refused, match="changed since"):
        UNDO["learn_notes"](act(), entry)


def test_nothing_ticked_a_strange_line_an_old_page_and_other_notes_are_refused(client_in, taught):
    assert press(client_in, taught).status_code == 422
    assert press(client_in, taught, "price").status_code == 422
    assert press(client_in, taught, "volts", seen="").status_code == 409
    assert press(client_in, taught, "volts", version=9).status_code == 409
    assert JournalEntry.objects.count() == 0


def test_the_page_ticks_what_the_notes_do_not_know_at_all(client_in, taught):
    page = client_in.get(reverse("learn", args=[taught.machine.slug])).content.decode()

    assert page.count("checked") == 9
    assert "notes say Handle, this machine says also Drip tray" in page


def test_learning_is_the_owners(technician_in, taught):
    assert technician_in.get(reverse("learn", args=[taught.machine.slug])).status_code == 403
    page = technician_in.get(taught.machine.get_absolute_url()).content.decode()
    assert "Learn from this machine" not in page


# Usual faults


def test_faults_are_counted_by_job_whatever_their_capitals_and_marks(owner):
    notes = ModelNotesFactory()
    left(notes, owner, "Drips from the group.", "drips from group", "No steam")
    left(notes, owner, "drips, from the group!")
    left(notes, owner)

    assert faults.usual(notes) == faults.Faults(
        "Of 3 looked at here that have left:", ["2 of 3 came with: Drips from the group", "1 of 3 came with: No steam"]
    )


def test_two_jobs_are_too_few_to_call_anything_usual_and_open_ones_are_not_counted(owner):
    notes = ModelNotesFactory()
    open_one = JobFactory(machine__notes=notes)
    Finding.objects.create(job=open_one, words="Leaks", by=owner, at=NOON)
    assert faults.usual(notes) is None

    left(notes, owner, "No steam")
    left(notes, owner)

    said = faults.usual(notes)
    assert (said.words, said.lines) == (
        "Only 2 machines looked at here have left so far: too few to say what is usual.",
        ["Came with: No steam"],
    )


def test_usual_faults_stand_on_the_machine_and_on_its_notes(client_in, owner):
    notes = ModelNotesFactory()
    for _ in range(3):
        job = left(notes, owner, "Drips from the group")
    here = JobFactory(machine__notes=notes, opened_at=NOON - timedelta(days=1))

    for address in (here.machine.get_absolute_url(), reverse("core:model_notes_edit", args=[notes.pk])):
        assert "3 of 3 came with: Drips from the group" in client_in.get(address).content.decode()
    assert job.machine.notes == notes


def test_faults_ask_equally_often_for_one_job_and_for_thirty(owner, django_assert_num_queries):
    notes = ModelNotesFactory()
    left(notes, owner, "No steam")
    with django_assert_num_queries(3):
        faults.usual(notes)
    for number in range(29):
        left(notes, owner, f"Fault {number}", "No steam")

    with django_assert_num_queries(3):
        assert len(faults.usual(notes).lines) == faults.SHOWN
