"""What stands before mains: what is seen under the lid and on the plate, and what is read hot."""

from typing import Any

import pytest

from workshop.bench import say
from workshop.bench.facts.prove import ItemState
from workshop.bench.services import basis
from workshop.core.acts import Refused
from workshop.core.models import Reading

LID = ["safety_parts", "plate_volts", "plug_fits"]


@pytest.mark.parametrize("left_out", LID)
def test_no_mains_before_what_is_under_the_lid_and_on_the_plate_was_seen(bench: Any, left_out: str) -> None:
    for code in LID:
        if code != left_out:
            bench.read(code)
    bench.read("case_shut")
    bench.read("visual")
    bench.read("earth", "0.09")
    bench.read("insulation", "99.9", sign=">", test_volts=500)
    assert [s.item.code for s in bench.facts.before_power()] == [left_out]
    with pytest.raises(Refused, match=bench.facts.states[left_out].item.title):
        bench.read("watts_heating", "1400")
    assert not Reading.objects.filter(item="watts_heating").exists()


def test_a_plate_that_is_wrong_for_the_place_keeps_the_plug_out(bench: Any) -> None:
    bench.make_safe()
    bench.read("plate_volts", answer="bad")
    with pytest.raises(Refused, match="Plate volts for this place failed"):
        bench.read("watts_heating", "1400")


def test_what_comes_first_is_said_first_and_led_to(client_in: Any, kettle: str, bench: Any) -> None:
    assert [line.split(":")[0] for line in say.unsafe_lines(bench.facts)][:4] == [
        "Cut-outs and safety valves",
        "Plate volts for this place",
        "Plug and fuse for this place",
        "Case shut, all screws in",
    ]
    page = client_in.get(f"/machines/{kettle}/cards/heat/?item=watts_heating").content.decode()
    assert f'href="/machines/{kettle}/cards/before-lid/"' in page
    for code in LID:
        bench.read(code)
    assert say.unsafe_lines(bench.facts)[0] == "Shut the case, all screws in."
    page = client_in.get(f"/machines/{kettle}/cards/heat/?item=watts_heating").content.decode()
    assert f'href="/machines/{kettle}/cards/safe-to-power/"' in page


def test_what_is_read_hot_waits_for_mains_too(client_in: Any, kettle: str, bench: Any) -> None:
    basis.ask_full_set(bench.act(at=bench.now()), bench.job, because="it goes to a café")
    with pytest.raises(Refused, match="Not safe to power yet"):
        bench.read("insulation_hot", "8", test_volts=500)
    assert Reading.objects.count() == 0
    page = client_in.get(f"/machines/{kettle}/cards/heat/?item=insulation_hot").content.decode()
    assert "Not safe to power yet" in page
    assert "Record this reading" not in page
    bench.make_safe()
    bench.read("insulation_hot", "8", test_volts=500)
    assert bench.state("insulation_hot") is ItemState.PASSED


def test_hot_insulation_that_failed_is_heated_and_read_again(bench: Any) -> None:
    basis.ask_full_set(bench.act(at=bench.now()), bench.job, because="it goes to a café")
    bench.make_safe()
    bench.read("insulation_hot", "0.1", test_volts=500)
    with pytest.raises(Refused, match="hot failed"):
        bench.read("watts_heating", "1400")
    bench.read("insulation_hot", "8", test_volts=500)
    assert bench.read("watts_heating", "1400").outcome == "PASS"
