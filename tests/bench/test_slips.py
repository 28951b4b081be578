"""A wrong thumb: what an answer moved with it is taken back with it, and Undo means what is on the screen."""

from typing import Any

import pytest
from django.urls import reverse

from workshop.bench import pages_prove, say
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


def test_undo_takes_back_the_item_on_the_screen(bench: Any, client_in: Any, kettle: str) -> None:
    bench.make_safe()
    earth, insulation = bench.facts.states["earth"].reading, bench.facts.states["insulation"].reading
    card = client_in.get(f"/machines/{kettle}/cards/safe-to-power/?item=earth").content.decode()
    assert f"/cards/safe-to-power/readings/{earth.pk}/strike/" in card
    assert f"/readings/{insulation.pk}/strike/" not in card


def test_the_page_asks_by_name_and_the_second_press_undoes(
    bench: Any, technician: Any, client_in: Any, kettle: str
) -> None:
    bench.read("plate_volts")
    typed = prove.Typed(answer="good", second_look=True)
    prove.read(bench.act(at=bench.now(), by=technician), bench.job, "plate_volts", typed)
    second = Reading.objects.latest("pk")
    url = f"/machines/{kettle}/cards/before-lid/readings/{second.pk}/strike/"
    asked = client_in.post(url, {"version": second.pk})
    html = asked.content.decode()
    assert asked.status_code == 422
    assert "Sam took this second look" in html
    assert "Yes, undo it" in html
    client_in.post(url, {"version": second.pk, "sure": f"second look {second.pk}"})
    assert Reading.objects.filter(struck=True).count() == 1


def test_an_answered_item_says_what_it_was_answered_with(bench: Any, client_in: Any, kettle: str) -> None:
    bench.read("plate_volts")
    card = client_in.get(f"/machines/{kettle}/cards/before-lid/?item=plate_volts").content.decode()
    assert "Already: right for this place, Ana 12 May 12:01" in " ".join(card.split())
    second = client_in.get(f"/machines/{kettle}/cards/before-lid/?item=plate_volts&second=1").content.decode()
    assert "Already:" not in second  # whoever looks a second time looks for himself


def test_photo_on_a_cut_out_leads_to_its_own_photo(bench: Any, client_in: Any, kettle: str) -> None:
    card = client_in.get(f"/machines/{kettle}/cards/before-lid/?item=safety_parts").content.decode()
    assert "item=safety_parts&amp;photo=1#item-photo" in card
    shown = client_in.get(f"/machines/{kettle}/cards/before-lid/?item=safety_parts&photo=1").content.decode()
    assert '<details id="item-photo" open>' in shown
    other = client_in.get(f"/machines/{kettle}/cards/before-lid/?item=plate_volts").content.decode()
    assert "#photos" in other


def test_a_refused_press_says_why_once(bench: Any, client_in: Any, kettle: str) -> None:
    answer = client_in.post(f"/machines/{kettle}/cards/heat/watts_heating/read/", {"value": "1400"})
    html = answer.content.decode()
    assert answer.status_code == 422
    assert html.count("Plate volts for this place: look at it.") == 1
    assert f'href="/machines/{kettle}/cards/before-lid/"' in html


# --- leads, ranges, counts ---------------------------------------------------------------------------------


def test_leads_are_taken_off_once(bench: Any) -> None:
    with pytest.raises(Refused, match="The leads were nulled") as no:
        bench.read("earth", "0.21", lead_ohm=bench.draws("0.11")[0], leads_nulled=True)
    assert no.value.field == "lead_ohm"
    assert not Reading.objects.exists()


@pytest.mark.parametrize(
    ("code", "value", "sign", "words"),
    [
        ("insulation", "0.2", ">", "over 0.2\u00a0megohm proves nothing: measure on a higher range"),
        ("insulation", "0.2", "", "0.2\u00a0megohm is too low"),
        ("earth", "1", "<", "under 1\u00a0ohm proves nothing: measure on a lower range"),
        ("earth", "1", "", "1\u00a0ohm is too high"),
    ],
)
def test_the_end_of_a_range_on_the_wrong_side_proves_nothing(
    bench: Any, code: str, value: str, sign: str, words: str
) -> None:
    reading = bench.read(code, value, sign=sign)
    assert reading.outcome == "FAIL"
    assert say.too_words(reading) == words


@pytest.mark.parametrize("case_open", [False, True])
def test_the_rail_counts_the_lines_listed(bench: Any, case_open: bool) -> None:
    bench.read("plate_volts")
    if case_open:
        bench.open_case()
    listed = [row for row in pages_prove.prove_rows(bench.job, bench.facts) if row.unmet]
    assert len(listed) == len(bench.missing)


def test_mend_says_what_is_wanted_inside_before_the_case_is_shut(bench: Any, client_in: Any, kettle: str) -> None:
    page = client_in.get(f"/machines/{kettle}/mend/").content.decode()
    assert "Before you shut it" not in page
    bench.open_case("loose wire")
    page = client_in.get(f"/machines/{kettle}/mend/").content.decode()
    assert "Cut-outs and safety valves: look at it." in page
    bench.read("safety_parts")
    page = client_in.get(f"/machines/{kettle}/mend/").content.decode()
    assert "Cut-outs and safety valves: look a second time." in page
