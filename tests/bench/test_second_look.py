"""A second pair of eyes on mains-side work, and the spot-check of a drawn unit."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import NOON
from workshop.bench import pages_card, pages_prove, say, stations
from workshop.bench.facts.prove import ItemState, repeats
from workshop.bench.models import SpotCheck
from workshop.bench.services import basis, prove, recipe, spot, work
from workshop.bench.services.spot import roll as chance
from workshop.core import services
from workshop.core.acts import Refused
from workshop.core.models import Reading

MAINS_SIDE = {"visual", "earth", "insulation", "safety_parts"}


def mend_the_switch(bench: Any) -> None:
    work.add_work(bench.act(at=bench.now()), bench.job, station="MEND", what="New switch", minutes=10, part=None)


def look_again(bench: Any, code: str, value: str | None = None, *, by: Any = None, **more: Any) -> Reading:
    """Read an item a second time; by another person where one is given."""
    typed = prove.Typed(value=Decimal(value) if value else None, answer="good", second_look=True, **more)
    entry = prove.read(bench.act(at=bench.now(), by=by), bench.job, code, typed)
    return Reading.objects.get(pk=int(entry.subject.rsplit(":", 1)[1]))


def wanted(bench: Any) -> set[str]:
    return {s.item.code for s in bench.facts.asked() if s.wants_second}


def prove_all(bench: Any) -> None:
    for code in ("safety_parts", "plate_volts", "plug_fits"):
        bench.read(code)
    bench.make_safe()
    for code in ("leak_hot", "relief", "drip_cold"):
        bench.read(code)
    for code, value in (("pressure", "9.1"), ("watts_heating", "1400"), ("ready", "12"), ("steam_ready", "40")):
        bench.read(code, value)
    bench.pull("12", "27")
    bench.pull("12", "28.5")
    recipe.set_recipe(bench.act(at=bench.now()), bench.job, {"portions": 1, "dose_tolerance_g": 0})


# --- a second pair of eyes ---------------------------------------------------------------------------------


def test_without_work_on_the_mains_side_nobody_looks_twice(bench: Any) -> None:
    bench.read("safety_parts")
    bench.make_safe()
    assert wanted(bench) == set()
    assert bench.facts.safe


def test_mains_side_work_wants_each_of_its_items_a_second_time_before_mains(bench: Any) -> None:
    mend_the_switch(bench)
    bench.read("safety_parts")
    bench.make_safe()
    assert wanted(bench) == MAINS_SIDE
    assert not bench.facts.safe
    with pytest.raises(Refused, match="a second reading"):
        bench.read("leak_hot")
    sentences = {u.code: u.sentence for u in stations.PROVE.unmet(bench.facts)}
    assert "mains-side work wants a second look, a fresh reading or another person" in sentences["item_earth"]


def test_a_case_opened_for_the_wiring_wants_it_too(bench: Any) -> None:
    bench.open_case("loose wire")
    bench.shut_case()
    bench.make_safe()
    assert "earth" in wanted(bench)


def test_another_person_may_look_at_once_and_both_stand_side_by_side(bench: Any, technician: Any) -> None:
    mend_the_switch(bench)
    bench.look_under_lid()
    look_again(bench, "safety_parts", by=technician)  # while the lid is off
    bench.make_safe()
    look_again(bench, "visual", by=technician)
    look_again(bench, "earth", "0.1", by=technician)
    look_again(bench, "insulation", "99.9", sign=">", test_volts=500, by=technician)
    assert wanted(bench) == set()
    assert bench.facts.safe
    row = next(row for row in pages_prove.prove_rows(bench.job, bench.facts) if row.code == "earth")
    assert row.found == "0.09\u00a0ohm; second look 0.1\u00a0ohm"
    assert row.by == "Ana, 12 May; Sam, 12 May"


def test_in_a_workshop_of_two_another_person_is_named_first(bench: Any, technician: Any) -> None:
    mend_the_switch(bench)
    bench.make_safe()
    sentences = {u.code: u.sentence for u in stations.PROVE.unmet(bench.facts)}
    assert sentences["item_earth"].endswith("a second look, by another person or afresh.")


@pytest.mark.parametrize(("after_s", "taken"), [(59, False), (60, True)])
def test_the_same_person_reads_it_afresh_after_a_minute(bench: Any, after_s: int, taken: bool) -> None:
    mend_the_switch(bench)
    first = bench.read("visual")
    typed = prove.Typed(answer="good", second_look=True)
    later = bench.act(at=first.at + timedelta(seconds=after_s))
    if taken:
        prove.read(later, bench.job, "visual", typed)
        assert bench.state("visual") is ItemState.PASSED
        assert "visual" not in wanted(bench)
    else:
        with pytest.raises(Refused, match="a moment ago"):
            prove.read(later, bench.job, "visual", typed)
        assert Reading.objects.count() == 1


def test_a_second_look_that_fails_fails_the_item_until_both_are_read_anew(bench: Any, technician: Any) -> None:
    mend_the_switch(bench)
    bench.make_safe()
    look_again(bench, "earth", "0.5", by=technician)
    assert bench.state("earth") is ItemState.FAILED
    assert "earth" in {s.item.code for s in bench.facts.stopped()}
    bench.read("earth", "0.08")
    assert bench.state("earth") is ItemState.PASSED
    assert "earth" in wanted(bench)
    assert Reading.objects.filter(item="earth", outcome="FAIL").count() == 1


def test_a_second_look_that_fails_is_kept_whoever_reads_it_and_whenever(bench: Any) -> None:
    mend_the_switch(bench)
    bench.make_safe()
    first = bench.facts.states["earth"].reading
    assert first is not None
    soon = bench.act(at=first.at + timedelta(seconds=5))
    prove.read(soon, bench.job, "earth", prove.Typed(value=Decimal("0.15"), second_look=True))
    kept = Reading.objects.latest("pk")
    assert (kept.value, kept.outcome, kept.second_look) == (Decimal("0.15"), "FAIL", True)
    assert bench.state("earth") is ItemState.FAILED
    assert [s.item.code for s in bench.facts.stopped()] == ["earth"]


def test_a_failed_second_look_with_no_first_is_kept_as_a_first(bench: Any) -> None:
    typed = prove.Typed(answer="bad", second_look=True)
    prove.read(bench.act(at=bench.now()), bench.job, "plate_volts", typed)
    assert not Reading.objects.get().second_look
    assert bench.state("plate_volts") is ItemState.FAILED


def test_a_second_look_taken_back_is_wanted_again(bench: Any, technician: Any) -> None:
    mend_the_switch(bench)
    bench.make_safe()
    second = look_again(bench, "earth", "0.1", by=technician)
    services.strike_reading(bench.act(at=bench.now()), second)
    assert "earth" in wanted(bench)


def test_opening_the_case_withdraws_first_and_second(bench: Any, technician: Any) -> None:
    mend_the_switch(bench)
    bench.make_safe()
    look_again(bench, "earth", "0.1", by=technician)
    bench.open_case()
    bench.shut_case()
    assert bench.state("earth") is ItemState.WITHDRAWN


def test_a_second_look_needs_a_first(bench: Any, technician: Any) -> None:
    with pytest.raises(Refused, match="no first reading"):
        look_again(bench, "visual", by=technician)
    assert not Reading.objects.exists()


def test_the_card_asks_for_the_second_look_and_records_it_as_one(
    technician_in: Any, technician: Any, kettle: str, bench: Any
) -> None:
    mend_the_switch(bench)
    bench.make_safe()
    page = technician_in.get(f"/machines/{kettle}/cards/safe-to-power/?item=earth").content.decode()
    assert "Second look. Ana took the first, 12 May" in page
    newest = Reading.objects.get(item="earth").pk
    posted = {"value": "0.1", "version": newest, "second_look": "True"}
    assert technician_in.post(f"/machines/{kettle}/cards/safe-to-power/earth/read/", posted).status_code == 302
    assert Reading.objects.latest("pk").second_look
    assert "earth" not in wanted(bench)
    anew = technician_in.get(f"/machines/{kettle}/cards/safe-to-power/?item=visual&again=1").content.decode()
    assert 'name="second_look" value="False"' in anew


def test_the_card_goes_on_first_and_comes_back_for_second_looks(bench: Any) -> None:
    mend_the_switch(bench)
    card = next(card for card in bench.facts.cards if card.code == "safe-to-power")
    chosen = []
    for code, value in (("case_shut", None), ("visual", None), ("earth", "0.09"), ("insulation", "50")):
        chosen.append(pages_card.choose(bench.facts, card, "").item.code)
        bench.read(code, value)
    assert chosen == ["case_shut", "visual", "earth", "insulation"]
    assert pages_card.choose(bench.facts, card, "").item.code == "visual"


# --- the spot-check ----------------------------------------------------------------------------------------


def test_one_unit_in_ten_is_drawn_by_chance() -> None:
    drawn_of = sum(chance() for _ in range(5000))
    assert 380 < drawn_of < 620  # 500 expected, 21 the standard deviation: outside once in ten million runs


def test_the_draw_is_kept_at_the_first_reading_and_never_thrown_again(bench: Any, monkeypatch: Any) -> None:
    first = bench.read("visual")
    assert not SpotCheck.objects.get().drawn
    monkeypatch.setattr(spot, "roll", lambda: True)
    services.strike_reading(bench.act(at=bench.now()), first)
    bench.read("visual")
    assert not SpotCheck.objects.get().drawn


def test_a_drawn_unit_names_two_readings_that_need_no_lid_off(bench: Any, monkeypatch: Any) -> None:
    monkeypatch.setattr(spot, "roll", lambda: True)
    bench.read("visual")
    kept = SpotCheck.objects.get()
    assert len(set(kept.items)) == 2
    assert set(kept.items) <= {s.item.code for s in bench.facts.asked()} - {"safety_parts", "case_shut"}


def drawn(bench: Any, *items: str) -> SpotCheck:
    return spot.keep(bench.act(at=bench.now()), bench.job, items or ("earth", "pressure"))


def test_nobody_hears_of_the_draw_before_the_rest_is_done(bench: Any, technician: Any) -> None:
    drawn(bench)
    bench.make_safe()
    assert not [code for code in bench.missing if code.startswith("spot")]
    assert pages_prove.spot_rows(bench.job, bench.facts) == []
    prove_all(bench)
    assert bench.missing == ["spot_earth", "spot_pressure"]
    assert [row.second for row in pages_prove.spot_rows(bench.job, bench.facts)] == ["not repeated yet"] * 2


def test_another_person_repeats_both_and_they_are_shown_side_by_side(bench: Any, technician: Any) -> None:
    drawn(bench)
    prove_all(bench)
    look_again(bench, "earth", "0.1", by=technician)
    look_again(bench, "pressure", "9.1", by=technician)
    assert bench.missing == []
    earth, pressure = pages_prove.spot_rows(bench.job, bench.facts)
    assert (earth.first, earth.second, earth.apart) == ("0.09\u00a0ohm", "0.1\u00a0ohm", "0.01\u00a0ohm more")
    assert pressure.apart == "the same"


def test_a_series_is_repeated_whole_and_told_apart_by_its_mean(bench: Any, technician: Any) -> None:
    basis.ask_full_set(bench.act(at=bench.now()), bench.job, because="it goes to a café")
    drawn(bench, "brew_water")
    bench.make_safe()
    bench.read("brew_water", series=bench.draws("91", "92", "92", "92", "93"))  # mean 92
    look_again(bench, "brew_water", by=technician, series=bench.draws("91", "92.5", "92.5", "93", "93"))  # 92.4
    standing = bench.facts.states["brew_water"]
    assert say.looks_words(standing) == "91 to 93\u00a0°C; second look 91 to 93\u00a0°C"
    (repeat,) = repeats(bench.facts)
    assert repeat.second.series == ["91", "92.5", "92.5", "93", "93"]
    assert pages_prove.spot_row(bench.job, repeat).apart == "0.4\u00a0°C more in the mean"
    look_again(bench, "brew_water", by=technician, series=bench.draws("90", "92", "92", "93", "95.1"))
    assert bench.state("brew_water") is ItemState.FAILED  # more than 5 °C apart, and over 95


def test_mains_side_work_wants_second_looks_on_the_card_that_asks_again(bench: Any, technician: Any) -> None:
    bench.read("safety_parts")
    bench.shut_case()
    bench.make_safe()
    bench.open_case("switch is loose")
    mend_the_switch(bench)
    bench.shut_case()
    (again,) = [card for card in bench.facts.cards if card.code == "again"]
    bench.make_safe()
    assert {"visual", "earth", "insulation"} <= {s.item.code for s in bench.facts.standings(again) if s.wants_second}
    for code, value in (("visual", None), ("earth", "0.1"), ("insulation", "20")):
        look_again(bench, code, value, by=technician)
    assert [s.item.code for s in bench.facts.standings(again) if not s.done] == []
    assert {row.card for row in Reading.objects.filter(second_look=True)} == {"safe-to-power"}


def test_the_same_person_repeats_it_on_another_day_only(bench: Any, technician: Any) -> None:
    drawn(bench, "earth")
    prove_all(bench)
    with pytest.raises(Refused, match="You read this one today"):
        look_again(bench, "earth", "0.1")
    typed = prove.Typed(value=Decimal("0.1"), second_look=True)
    prove.read(bench.act(at=NOON + timedelta(days=1)), bench.job, "earth", typed)
    assert bench.missing == []


def test_one_person_alone_is_asked_and_not_held_up(bench: Any) -> None:
    drawn(bench, "earth")
    prove_all(bench)
    assert bench.missing == []
    assert len(repeats(bench.facts)) == 1


def test_the_prove_page_shows_what_is_to_be_repeated(client_in: Any, kettle: str, bench: Any, technician: Any) -> None:
    drawn(bench, "earth")
    prove_all(bench)
    page = client_in.get(f"/machines/{kettle}/prove/").content.decode()
    assert "One unit in ten is drawn by chance" in page
    assert f"/machines/{kettle}/cards/safe-to-power/?item=earth&amp;second=1" in page
    card = client_in.get(f"/machines/{kettle}/cards/safe-to-power/?item=earth&second=1").content.decode()
    assert 'name="second_look" value="True"' in card
