"""After deep work: two heat cycles before the leak reading. After the case was opened: one card asks again."""

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.bench import factories
from tests.conftest import NOON
from workshop.bench import say
from workshop.bench.facts.prove import ItemState
from workshop.bench.models import WorkDone
from workshop.bench.services import prove, work
from workshop.bench.services.prove import Typed
from workshop.core.acts import Refused
from workshop.core.models import Reading
from workshop.core.services import strike_reading

CYCLES = ["heat_cycle_1", "heat_cycle_2"]


def text(html: str) -> str:
    return re.sub(r"[ \n\t]+", " ", re.sub(r"<[^>]+>", " ", html))


@pytest.fixture
def look(client_in: Any, kettle: str) -> Callable[[str], str]:
    """Read a page of the machine as a person does."""
    return lambda path: text(client_in.get(f"/machines/{kettle}/{path}", follow=True).content.decode())


@pytest.fixture
def mended(bench: Any) -> Any:
    """A machine whose pump was changed, shut and safe to power again."""
    bench.open_case("pump hums")
    work.add_work(bench.act(at=bench.now()), bench.job, station="MEND", what="New pump", minutes=30, part=None)
    bench.shut_case()
    bench.make_safe()
    return bench


def on_card(bench: Any, code: str) -> list[str]:
    return [item.code for card in bench.facts.cards if card.code == code for item in card.items]


# --- heat cycles -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("what", ["New pump", "Valve cleaned", "Boiler joint resealed", "New control board", "Rewired"])
def test_deep_work_asks_for_two_heat_cycles_first_on_the_water_card(bench: Any, what: str) -> None:
    assert set(CYCLES).isdisjoint(bench.facts.states)
    work.add_work(bench.act(at=bench.now()), bench.job, station="MEND", what=what, minutes=30, part=None)
    assert on_card(bench, "water")[:4] == [*CYCLES, "leak_hot", "drip_cold"]
    assert {"item_heat_cycle_1", "item_heat_cycle_2"} <= set(bench.missing)


def test_work_taken_back_takes_the_cycles_back(mended: Any) -> None:
    entry = WorkDone.objects.select_related("job__machine", "movement__part").get()
    work.strike_work(mended.act(at=mended.now()), entry)
    assert set(CYCLES) <= set(mended.facts.states)  # the case was opened for the pump: that stands
    assert mended.facts.full


def test_the_leak_is_read_after_both_cycles_and_the_second_after_the_first(mended: Any) -> None:
    with pytest.raises(Refused, match="First: first heat cycle, dry paper under and second heat cycle"):
        mended.read("leak_hot")
    with pytest.raises(Refused, match="First: first heat cycle, dry paper under"):
        mended.read("heat_cycle_2")
    mended.read("heat_cycle_1")
    with pytest.raises(Refused, match="First: second heat cycle"):
        mended.read("leak_hot")
    mended.read("heat_cycle_2")
    assert mended.read("leak_hot").outcome == "PASS"
    assert mended.state("leak_hot") is ItemState.PASSED


def test_wet_paper_stops_the_machine(mended: Any) -> None:
    mended.read("heat_cycle_1", answer="bad")
    with pytest.raises(Refused, match="First heat cycle, dry paper under failed: wet, paper wet"):
        mended.read("pressure", "9")
    mended.read("heat_cycle_1")
    assert mended.read("pressure", "9").outcome == "PASS"


def test_cycles_lapse_when_the_case_is_opened_again(mended: Any) -> None:
    for code in (*CYCLES, "leak_hot"):
        mended.read(code)
    mended.open_case()
    mended.shut_case()
    assert [mended.state(code) for code in (*CYCLES, "leak_hot")] == [ItemState.WITHDRAWN] * 3
    mended.make_safe()
    with pytest.raises(Refused, match="First: first heat cycle"):
        mended.read("leak_hot")


def test_a_leak_read_before_the_work_was_noted_does_not_count_for_the_cycles(bench: Any) -> None:
    bench.make_safe()
    bench.read("leak_hot")
    work.add_work(bench.act(at=bench.now()), bench.job, station="MEND", what="New pump", minutes=30, part=None)
    for code in CYCLES:
        bench.read(code)
    assert "item_leak_hot" in bench.missing
    bench.read("leak_hot")
    assert "item_leak_hot" not in bench.missing


def test_a_cycle_taken_back_opens_the_leak_again(mended: Any) -> None:
    rows = [mended.read(code) for code in (*CYCLES, "leak_hot")]
    strike_reading(mended.act(at=mended.now()), rows[1])
    assert "item_leak_hot" in mended.missing


def test_the_wait_between_cycles_is_told_from_when_the_first_ended(mended: Any, look: Any) -> None:
    assert "fully cold is" not in look("cards/water/?item=heat_cycle_2").lower()
    prove.read(mended.act(at=NOON + timedelta(hours=2)), mended.job, "heat_cycle_1", Typed(answer="good"))
    words = "First heat cycle ended 12 May at 14:00. Fully cold is usually 2 hours later, about 16:00: common practice."
    assert words in look("cards/water/")
    assert words in look("prove/")
    assert words in look("cards/heat/?item=ready")  # it would be heated again
    assert words not in look("cards/water/?item=drip_cold")
    late = NOON + timedelta(hours=11)
    prove.read(mended.act(at=late), mended.job, "heat_cycle_1", Typed(answer="good"))
    item = mended.facts.states["heat_cycle_2"].item
    assert "about 13 May 01:00" in say.rest_words(mended.facts, item)


def test_too_early_the_card_shows_what_comes_first(mended: Any, look: Any, kettle: str, client_in: Any) -> None:
    shown = look("cards/water/?item=leak_hot")
    assert "Not yet First: first heat cycle, dry paper under and second heat cycle, from fully cold." in shown
    response = client_in.post(f"/machines/{kettle}/cards/water/leak_hot/read/", {"answer": "good"})
    assert response.status_code == 422
    assert not Reading.objects.filter(item="leak_hot").exists()


# --- one card asks again ---------------------------------------------------------------------------------

LAPSED = ["case_shut", "visual", "earth", "insulation", "leak_hot", "drip_cold"]


@pytest.fixture
def reopened(bench: Any) -> Any:
    bench.make_safe()
    for code, value in (("leak_hot", None), ("drip_cold", None), ("pressure", "9.1"), ("plate_volts", None)):
        bench.read(code, value)
    bench.open_case()
    bench.shut_case()
    return bench


def test_what_lapsed_is_asked_on_one_card_and_on_no_other(reopened: Any) -> None:
    assert on_card(reopened, "again") == LAPSED
    asked = [item.code for card in reopened.facts.cards for item in card.items]
    assert sorted(asked) == sorted(set(asked))
    assert [card.code for card in reopened.facts.cards] == ["before-lid", "again", "water", "heat"]
    assert on_card(reopened, "water") == ["relief", "pressure"]
    assert reopened.state("pressure") is ItemState.PASSED


def test_it_stays_one_card_to_its_end_and_readings_name_their_own_card(reopened: Any, look: Any) -> None:
    reopened.make_safe()
    assert on_card(reopened, "again") == LAPSED
    assert "4 of 6 done" in look("cards/again/")
    assert Reading.objects.latest("pk").card == "safe-to-power"
    for code in ("leak_hot", "drip_cold"):
        reopened.read(code)
    assert "Again after the case was opened: all done" in look("cards/again/")
    assert not [code for code in reopened.missing if code.removeprefix("item_") in LAPSED]


def test_with_the_case_still_open_it_begins_with_shutting_it(reopened: Any, look: Any) -> None:
    reopened.open_case()
    assert on_card(reopened, "again") == LAPSED
    assert "Case shut, all screws in" in look("cards/again/")


def test_an_old_address_leads_to_where_it_is_asked_now(reopened: Any, look: Any, client_in: Any, kettle: str) -> None:
    assert "Again after the case was opened. Read, then do" in look("cards/safe-to-power/?item=earth")
    response = client_in.get(f"/machines/{kettle}/cards/safe-to-power/")
    assert response.url == f"/machines/{kettle}/cards/again/"
    path = f"/machines/{kettle}/cards/safe-to-power/earth/read/"
    assert (
        client_in.post(path, {"value": "0.09", "version": reopened.facts.states["earth"].reading.pk}).status_code == 302
    )
    assert reopened.state("earth") is ItemState.PASSED


def test_what_blocks_mains_leads_to_the_one_card(reopened: Any, kettle: str, client_in: Any) -> None:
    html = client_in.get(f"/machines/{kettle}/cards/heat/?item=ready").content.decode()
    assert f'href="/machines/{kettle}/cards/again/"' in html


def test_a_case_opened_before_the_first_reading_asks_nothing_twice(bench: Any) -> None:
    bench.read("safety_parts")
    bench.read("case_shut", answer="bad")
    bench.make_safe()
    assert on_card(bench, "again") == []
    assert on_card(bench, "safe-to-power") == ["case_shut", "visual", "earth", "insulation"]


def test_after_deep_work_the_one_card_holds_nine_at_most(mended: Any) -> None:
    mended.read("insulation", "50", test_volts=250)
    mended.read("leakage", "0.4")
    for code in (*CYCLES, "leak_hot", "drip_cold"):
        mended.read(code)
    mended.open_case()
    mended.shut_case()
    assert on_card(mended, "again") == ["case_shut", "visual", "earth", "insulation", "leakage", *CYCLES, *LAPSED[4:]]


# --- the boxes on the card -------------------------------------------------------------------------------


def test_a_series_has_a_box_for_each_value_and_keeps_what_was_typed(bench: Any, client_in: Any, kettle: str) -> None:
    bench.make_safe()
    html = client_in.get(f"/machines/{kettle}/cards/heat/?item=brew_water").content.decode()
    assert re.findall(r'<input type="text" name="(draw_\d)"', html) == [f"draw_{at}" for at in range(1, 6)]
    assert html.index("no more than 5 °C apart") < html.index('name="draw_1"')
    path = f"/machines/{kettle}/cards/heat/brew_water/read/"
    typed = {"draw_1": "91,5", "draw_2": "92 °C", "draw_3": "92.4", "draw_4": "93"}
    response = client_in.post(path, typed)
    assert response.status_code == 422
    assert 'value="91,5"' in response.content.decode()
    assert not Reading.objects.filter(item="brew_water").exists()
    assert client_in.post(path, {**typed, "draw_5": "92"}).status_code == 302
    assert Reading.objects.get(item="brew_water").series == ["91.5", "92", "92.4", "93", "92"]


def test_the_steam_test_shows_its_sum_line_by_line(bench: Any, client_in: Any, kettle: str, look: Any) -> None:
    bench.make_safe()
    path = f"/machines/{kettle}/cards/heat/steam_power/read/"
    typed = {"grams": "150", "start_c": "4", "end_c": "60", "time_s": "33"}
    assert client_in.post(path, typed).status_code == 422  # nobody said what stood in the jug
    assert client_in.post(path, {**typed, "liquid": "milk"}).status_code == 302
    shown = look("cards/heat/?item=steam_power")
    assert "150\u00a0g of milk from 4 to 60\u00a0°C: 56\u00a0°C warmer" in shown
    assert "0.15\u00a0kg x 3.93 kJ a kg and degree x 56\u00a0°C = 33\u00a0kJ" in shown
    assert "33\u00a0kJ in 33\u00a0s = 1,000\u00a0W net" in shown


def test_more_than_the_set_asks_opens_a_card_outside_the_set(bench: Any, look: Any) -> None:
    bench.make_safe()
    assert "Two spouts, two cups" in look("prove/")
    assert "Left cup" in look("cards/coffee/?item=spout_balance")
    bench.read("spout_balance", series=bench.draws("19", "21"))
    assert "1 of 4 done" in look("cards/coffee/")


def test_facts_and_pages_take_the_same_queries_at_one_and_thirty(reopened: Any, look: Any) -> None:
    one = _queries(lambda: look("prove/"))
    for _ in range(29):
        other = factories.KettleJobFactory()
        Reading.objects.create(
            job=other, card="water", item="debit", title="Water", value=80, unit="ml", outcome="RECORDED",
            by=reopened.act().by, at=reopened.now(),
        )  # fmt: skip
    assert _queries(lambda: look("prove/")) == one


def _queries(do: Callable[[], Any]) -> int:
    with CaptureQueriesContext(connection) as seen:
        do()
    return len(seen)
