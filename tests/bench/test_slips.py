"""A wrong thumb: what an answer moved with it is taken back with it, and Undo means what is on the screen."""

from typing import Any

import pytest
from django.urls import reverse

from workshop.bench.facts.prove import ItemState
from workshop.bench.models import CaseOpening
from workshop.bench.services import prove, work
from workshop.bench.undo import UNDO
from workshop.core.acts import Odd, Refused
from workshop.core.models import JournalEntry, Reading
from workshop.desk.undo import undoable

TESTED = ("case_shut", "visual", "earth", "insulation")


@pytest.fixture
def slipped(bench: Any) -> Reading:
    """Four good readings, then a wrong thumb on a cut-out says that the case is open."""
    bench.read("case_shut")
    bench.read("visual")
    bench.read("earth", "0.09")
    bench.read("insulation", "99.9", sign=">", test_volts=500)
    found: Reading = bench.read("safety_parts")
    assert bench.facts.case_open
    return found


def states(bench: Any) -> set[ItemState]:
    return {bench.state(code) for code in TESTED}


# --- the answer that opened the case -----------------------------------------------------------------------


def test_undo_of_the_answer_that_opened_the_case_takes_that_back_too(bench: Any, slipped: Reading) -> None:
    assert states(bench) == {ItemState.WITHDRAWN}
    prove.strike(bench.act(at=bench.now()), bench.job, slipped)
    assert not bench.facts.case_open
    assert states(bench) == {ItemState.PASSED}
    row = CaseOpening.objects.get()
    assert (row.struck_by, row.shut_at) == (bench.act().by, None)


def test_once_more_was_done_the_case_stays_open(bench: Any, slipped: Reading) -> None:
    work.add_work(bench.act(at=bench.now()), bench.job, station="MEND", what="Hose", minutes=5, part=None)
    prove.strike(bench.act(at=bench.now()), bench.job, slipped)
    assert bench.facts.case_open
    assert states(bench) == {ItemState.WITHDRAWN}


def test_the_opening_stands_in_record_with_its_own_undo(bench: Any, slipped: Reading) -> None:
    entry = JournalEntry.objects.get(verb="look_inside")
    assert entry.sentence == "Opened the case: look inside before the lid goes on"
    assert entry.pk in undoable(JournalEntry.objects.all(), bench.act().by)
    UNDO["look_inside"](bench.act(at=bench.now()), entry)
    assert states(bench) == {ItemState.PASSED}
    assert bench.state("safety_parts") is ItemState.OPEN
    assert entry.pk not in undoable(JournalEntry.objects.all(), bench.act().by)
    with pytest.raises(Refused, match="not open any more"):
        UNDO["look_inside"](bench.act(at=bench.now()), entry)


def test_the_openings_own_undo_is_refused_after_more_was_done(bench: Any, slipped: Reading) -> None:
    bench.read("plate_volts")
    with pytest.raises(Refused, match="Something was done since"):
        UNDO["look_inside"](bench.act(at=bench.now()), JournalEntry.objects.get(verb="look_inside"))
    assert bench.facts.case_open
    assert Reading.objects.filter(struck=True).count() == 0


def test_undo_from_record_takes_the_opening_back_too(bench: Any, slipped: Reading, client_in: Any) -> None:
    entry = JournalEntry.objects.filter(verb="record_reading").latest("pk")
    client_in.post(reverse("undo", args=[entry.pk]))
    assert states(bench) == {ItemState.PASSED}


def test_it_can_be_opened_again_after_a_slip(bench: Any, slipped: Reading) -> None:
    prove.strike(bench.act(at=bench.now()), bench.job, slipped)
    bench.read("safety_parts")
    assert bench.facts.case_open
    assert CaseOpening.objects.count() == 2


# --- what Record offers ------------------------------------------------------------------------------------


def test_record_offers_no_undo_of_a_reading_that_was_taken_back(bench: Any) -> None:
    reading = bench.read("plate_volts")
    entry = JournalEntry.objects.get(verb="record_reading")
    assert undoable([entry], bench.act().by) == {entry.pk}
    prove.strike(bench.act(at=bench.now()), bench.job, reading)
    assert undoable([entry], bench.act().by) == set()


# --- whose reading, and which ------------------------------------------------------------------------------


def test_another_persons_second_look_is_taken_back_only_when_asked_by_name(bench: Any, technician: Any) -> None:
    bench.read("plate_volts")
    typed = prove.Typed(answer="good", second_look=True)
    entry = prove.read(bench.act(at=bench.now(), by=technician), bench.job, "plate_volts", typed)
    second = Reading.objects.get(pk=int(entry.subject.rsplit(":", 1)[1]))
    with pytest.raises(Odd, match="Sam took this second look") as asked:
        prove.strike(bench.act(at=bench.now()), bench.job, second)
    assert Reading.objects.filter(struck=True).count() == 0
    prove.strike(bench.act(at=bench.now()), bench.job, second, sure=asked.value.about)
    assert Reading.objects.filter(struck=True).count() == 1


def test_ones_own_second_look_goes_at_one_press(bench: Any) -> None:
    bench.read("plate_volts")
    second = bench.read("plate_volts", second_look=True)
    prove.strike(bench.act(at=bench.now()), bench.job, second)
    assert Reading.objects.filter(struck=True).count() == 1
