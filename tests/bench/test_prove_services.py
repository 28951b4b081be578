"""Safe to power, the case, what fails and what is left out: derived from readings, nothing rewritten."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from intake.models import Purchase
from tests.bench import factories
from tests.conftest import NOON
from workshop.bench import stations, stops
from workshop.bench.facts.prove import ItemState
from workshop.bench.models import SealWork, Shot
from workshop.bench.services import prove, work
from workshop.bench.services.clean import descale
from workshop.bench.services.recipe import set_recipe
from workshop.core import acts, services
from workshop.core.acts import Refused
from workshop.core.models import Instrument, JournalEntry, ModelNotes, Reading, Wait
from workshop.core.stations import fingerprint, standings

MAINS_ITEMS = ("leak_hot", "relief", "pressure", "debit", "watts_heating", "ready", "steam_ready", "brew_water")


# --- safe to power ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("code", MAINS_ITEMS)
def test_nothing_that_needs_mains_is_read_before_it_is_safe_to_power(bench: Any, code: str) -> None:
    with pytest.raises(Refused, match="Not safe to power yet"):
        bench.read(code, "10")
    assert not Reading.objects.exists()


def test_no_shot_before_it_is_safe_to_power(bench: Any) -> None:
    with pytest.raises(Refused, match="Not safe to power yet"):
        bench.pull("12", "27")
    assert not Shot.objects.exists()


@pytest.mark.parametrize("left_out", ["visual", "case_shut", "earth", "insulation"])
def test_each_of_the_four_is_wanted(bench: Any, left_out: str) -> None:
    bench.look_under_lid()
    bench.shut_case()
    for code, value in (("visual", None), ("case_shut", None), ("earth", "0.09"), ("insulation", "50")):
        if code != left_out:
            bench.read(code, value)
    assert not bench.facts.safe
    assert [s.item.code for s in bench.facts.before_power()] == [left_out]
    with pytest.raises(Refused, match="Not safe to power yet"):
        bench.read("leak_hot")


def test_after_the_four_mains_may_go_on(bench: Any) -> None:
    bench.make_safe()
    assert bench.facts.safe
    assert bench.read("leak_hot").outcome == "PASS"


def test_missing_earth_never_passes_on_class_one_whatever_instruments_are_owned(bench: Any) -> None:
    Instrument.objects.all().delete()
    for code, value in (("visual", None), ("case_shut", None), ("insulation", "50")):
        bench.read(code, value)
    assert "item_earth" in bench.missing
    assert not bench.facts.safe


def test_a_failed_earth_is_not_safe_to_power(bench: Any) -> None:
    bench.make_safe()
    bench.read("earth", "0.5")
    assert not bench.facts.safe


# --- a failed stop item, on any card -----------------------------------------------------------------------


def test_a_failed_cut_out_forbids_every_act_with_mains_and_is_named(bench: Any) -> None:
    factories.SafetyPartFactory(notes=bench.job.machine.notes)
    bench.read("part-boiler-cut-out", answer="bad")
    bench.shut_case()
    bench.make_safe()
    named = "Boiler cut-out, 145 °C failed: wrong, missing or bridged. Mend it, then look again."
    assert not bench.facts.safe
    acid = {"agent": "CITRIC_ANHYDROUS", "strength_percent": Decimal(2), "volume_l": Decimal(1), "minutes": 20}
    acts_with_mains = [
        lambda: bench.read("pressure", "9.1"),
        lambda: bench.pull("12", "27"),
        lambda: set_recipe(bench.act(), bench.job, {"portions": 1, "dose_tolerance_g": 0}),
        lambda: descale(bench.act(), bench.job, **acid),
    ]
    for act in acts_with_mains:
        with pytest.raises(Refused, match="Not safe to power yet") as refused:
            act()
        assert refused.value.reasons[1:] == (named,)
    assert not Shot.objects.exists()


def test_wrong_plate_volts_forbid_mains_until_read_right(bench: Any) -> None:
    bench.make_safe()
    bench.read("plate_volts", answer="bad")
    with pytest.raises(Refused, match="Plate volts for this place failed: wrong for this place"):
        bench.read("leak_hot")
    bench.read("plate_volts")
    assert bench.read("leak_hot").outcome == "PASS"


def test_a_failed_item_with_mains_may_be_read_again_and_nothing_else_may(bench: Any) -> None:
    bench.make_safe()
    bench.read("leak_hot", answer="bad")
    with pytest.raises(Refused, match="Leak after 30 minutes hot failed: drips"):
        bench.read("pressure", "9.1")
    bench.read("leak_hot")
    assert bench.read("pressure", "9.1").outcome == "PASS"


def test_with_the_case_open_what_is_missing_says_shut_once(bench: Any) -> None:
    bench.open_case()
    with pytest.raises(Refused) as refused:
        bench.read("leak_hot")
    assert [line for line in refused.value.reasons if "hut" in line] == ["Shut the case, all screws in."]


# --- the case --------------------------------------------------------------------------------------------


def test_opening_the_case_withdraws_electrical_and_leak_readings_only(bench: Any) -> None:
    bench.make_safe()
    for code, value in (("plate_volts", None), ("leak_hot", None), ("drip_cold", None), ("pressure", "9.1")):
        bench.read(code, value)
    before = list(Reading.objects.order_by("pk").values())
    bench.open_case()
    bench.shut_case()
    withdrawn = {code for code, s in bench.facts.states.items() if s.state is ItemState.WITHDRAWN}
    assert withdrawn == {"visual", "case_shut", "earth", "insulation", "leak_hot", "drip_cold"}
    assert bench.state("pressure") is ItemState.PASSED
    assert bench.state("plate_volts") is ItemState.PASSED
    assert list(Reading.objects.order_by("pk").values()) == before


def test_with_the_case_open_nothing_is_safe_and_what_is_read_lapses_when_it_is_shut(bench: Any) -> None:
    bench.look_under_lid()
    for code, value in (("visual", None), ("earth", "0.09"), ("insulation", "50")):
        bench.read(code, value)
    assert not bench.facts.safe
    assert "case" in bench.missing
    bench.read("case_shut")
    assert not bench.facts.case_open
    assert [s.item.code for s in bench.facts.before_power()] == ["visual", "earth", "insulation"]
    bench.make_safe()
    assert bench.facts.safe


def test_a_cut_out_seen_says_that_the_case_is_open_and_not_shut_leaves_it_so(bench: Any) -> None:
    bench.make_safe()
    bench.read(_cut_out(bench))
    assert bench.facts.case_open
    assert bench.state("earth") is ItemState.WITHDRAWN
    bench.read("case_shut", answer="bad")
    assert bench.facts.case_open
    bench.read("case_shut")
    assert not bench.facts.case_open
    assert bench.state(_cut_out(bench)) is ItemState.PASSED


def test_the_law_s_hold_forbids_looking_inside(bench: Any) -> None:
    Purchase.objects.create(
        job=bench.job,
        price_minor=5000,
        acquired_on=NOON.date(),
        hold_until_on=NOON.date() + timedelta(days=7),
        hold_blocks_work=True,
        hold_words="As received for 7 days.",
    )
    with pytest.raises(Refused, match="On hold"):
        bench.read(_cut_out(bench))
    assert not Reading.objects.exists()


def _cut_out(bench: Any) -> str:
    return next(s.item.code for s in bench.facts.asked() if s.item.opens_case)


def test_a_sign_off_is_withdrawn_by_itself_when_the_case_is_opened_again(bench: Any) -> None:
    _prove_all(bench)
    facts = bench.facts
    assert stations.PROVE.unmet(facts) == []
    services.sign_off(bench.act(), stations.PROVE, bench.job, seen=_seen(facts))
    assert _standing(bench) == ("full", False)
    bench.open_case()
    assert _standing(bench) == ("half", True)


# --- what fails ------------------------------------------------------------------------------------------


def test_a_failed_reading_stays_and_the_retest_passes(bench: Any) -> None:
    bench.make_safe()
    failed = bench.read("pressure", "7.9")
    assert "item_pressure" in bench.missing
    bench.read("pressure", "9.1")
    assert bench.state("pressure") is ItemState.PASSED
    assert "item_pressure" not in bench.missing
    assert Reading.objects.get(pk=failed.pk).outcome == "FAIL"


def test_a_slip_is_taken_back_and_the_earlier_reading_counts_again(bench: Any) -> None:
    bench.make_safe()
    slip = bench.read("earth", "9.0")
    assert bench.state("earth") is ItemState.FAILED
    services.strike_reading(bench.act(at=bench.now()), slip)
    assert bench.state("earth") is ItemState.PASSED


def test_a_failed_stop_item_stops_the_unit(bench: Any) -> None:
    bench.read("visual", answer="bad")
    (stop,) = stops.stops([bench.job.pk], NOON.date())[bench.job.pk]
    assert stop.words == "Plug, fuse, cord and case failed: not right. Do not use it."
    prove.stop_unit(bench.act(), bench.job, "visual")
    assert Wait.objects.get().what == "a decision, mend or stop: Plug, fuse, cord and case failed"


def test_a_unit_stopped_twice_waits_once(bench: Any) -> None:
    bench.read("visual", answer="bad")
    prove.stop_unit(bench.act(), bench.job, "visual")
    with pytest.raises(Refused, match="waits for that decision already"):
        prove.stop_unit(bench.act(), bench.job, "visual")
    assert Wait.objects.count() == 1


def test_only_what_was_read_out_of_its_limit_is_left_as_it_is(bench: Any) -> None:
    bench.make_safe()
    with pytest.raises(Refused, match="not read out of its limit") as refused:
        prove.skip(bench.act(), bench.job, "pressure", reason="LEFT", words="buyer told")
    assert refused.value.field == "reason"


def test_a_unit_is_not_stopped_over_an_item_that_passed(bench: Any) -> None:
    bench.read("visual")
    with pytest.raises(Refused, match="has not failed"):
        prove.stop_unit(bench.act(), bench.job, "visual")


def test_lapsed_stop_items_are_one_stop_that_names_two_and_counts_the_rest(bench: Any) -> None:
    bench.make_safe()
    bench.open_case()
    bench.shut_case()
    (stop,) = stops.stops([bench.job.pk], NOON.date())[bench.job.pk]
    assert stop.words.startswith("Earth path, plug to metal, insulation at 500 V and 2 more not proved. The case was ")


def test_a_hold_stops_the_machine_until_its_day(bench: Any) -> None:
    Purchase.objects.create(
        job=bench.job, price_minor=1, acquired_on=date(2026, 5, 1), hold_until_on=date(2026, 5, 15),
        hold_blocks_work=True, hold_words="Seven days in the form received.",
    )  # fmt: skip
    (stop,) = stops.stops([bench.job.pk], date(2026, 5, 14))[bench.job.pk]
    assert stop.words == "On hold by law until 15 May 2026: no work and no sale before."
    assert stops.stops([bench.job.pk], date(2026, 5, 15))[bench.job.pk] == []


# --- which items are asked -------------------------------------------------------------------------------


def test_a_stop_item_is_never_left_out(bench: Any) -> None:
    with pytest.raises(Refused, match="stop item"):
        prove.skip(bench.act(), bench.job, "earth", reason="AWAY", words="lent out")
    assert not Reading.objects.exists()


def test_not_possible_wants_a_reason_and_keeps_it(bench: Any) -> None:
    prove.skip(bench.act(), bench.job, "pressure", reason="NO_PLACE", words="no gauge fits this group")
    assert bench.state("pressure") is ItemState.NOT_POSSIBLE
    assert "item_pressure" not in bench.missing
    assert Reading.objects.get().reason == "this model has no place to measure it: no gauge fits this group"


def test_instruments_not_owned_are_not_asked_for_stop_items_excepted(bench: Any) -> None:
    Instrument.objects.exclude(kind="TIMER").delete()
    asked = {s.item.code for s in bench.facts.asked()}
    assert {"earth", "insulation", "leak_hot", "ready"} <= asked
    assert asked.isdisjoint({"pressure", "watts_heating", "brew_water", "debit"})


def test_the_short_set_becomes_the_full_set_when_the_boiler_was_touched(bench: Any) -> None:
    assert {"debit", "brew_water"}.isdisjoint(s.item.code for s in bench.facts.asked())
    work.add_work(
        bench.act(), bench.job, station="MEND", what="New heating element in the boiler", minutes=40, part=None
    )
    assert {"debit", "brew_water"} <= {s.item.code for s in bench.facts.asked()}


@pytest.mark.parametrize(("what", "full"), [("Polished the tray", False), ("Rewired the switch", True)])
def test_only_deep_work_asks_for_the_full_set(bench: Any, what: str, full: bool) -> None:
    work.add_work(bench.act(), bench.job, station="MEND", what=what, minutes=10, part=None)
    assert bench.facts.full is full


def test_an_inside_seal_changed_asks_for_the_full_set(bench: Any) -> None:
    inside = factories.SealPositionFactory(notes=bench.job.machine.notes, name="Joint", wears=False, is_group=False)
    SealWork.objects.create(job=bench.job, position=inside, end="CHANGED", by=bench.act().by, at=bench.now())
    assert bench.facts.full


def test_opening_for_the_pump_asks_for_the_full_set_opening_to_look_does_not(bench: Any) -> None:
    bench.open_case("look inside")
    assert not bench.facts.full
    bench.shut_case()
    bench.open_case("pump hums")
    assert bench.facts.full


def test_every_safety_part_of_the_notes_is_looked_at_with_its_rating(bench: Any) -> None:
    factories.SafetyPartFactory(notes=bench.job.machine.notes)
    factories.SafetyPartFactory(notes=bench.job.machine.notes, name="Safety valve", rating="1.8 bar")
    titles = [s.item.title for s in bench.facts.asked() if s.card == "before-lid"]
    assert titles[:2] == ["Boiler cut-out, 145 °C", "Safety valve, 1.8 bar"]


def test_notes_without_safety_parts_still_ask_for_them(bench: Any) -> None:
    assert "item_safety_parts" in bench.missing


def test_a_grinder_alone_has_its_own_card_no_water_no_heat_and_no_shots(bench: Any) -> None:
    ModelNotes.objects.update(kind="GRINDER", has_grinder=False)
    assert [card.code for card in bench.facts.cards] == ["before-lid", "safe-to-power", "coffee"]
    assert bench.facts.cards[-1].title == "Grinder"
    assert [item.code for item in bench.facts.cards[-1].items] == ["grinder_noise", "dose_repeat"]
    assert not [code for code in bench.missing if code in ("shots", "recipe")]
    bench.make_safe()
    with pytest.raises(Refused, match="grinder alone"):
        bench.pull("12", "27")


def test_a_lever_without_a_pump_is_asked_no_pump_pressure(bench: Any) -> None:
    ModelNotes.objects.update(kind="LEVER", pump="NONE")
    assert set(bench.facts.states).isdisjoint({"pressure", "relief", "debit"})
    assert "leak_hot" in bench.facts.states


# --- presses ---------------------------------------------------------------------------------------------


def test_a_double_press_is_one_reading(bench: Any) -> None:
    act = bench.act(key="pressed twice")
    prove.read(act, bench.job, "visual", prove.Typed(answer="good"))
    with pytest.raises(acts.AlreadyDone):
        prove.read(act, bench.job, "visual", prove.Typed(answer="good"))
    assert Reading.objects.count() == JournalEntry.objects.count() == 1


def test_a_closed_job_takes_no_reading(bench: Any) -> None:
    bench.job.closed_at, bench.job.closed_by, bench.job.closed_as = bench.now(), bench.act().by, "SCRAPPED"
    bench.job.save()
    with pytest.raises(Refused, match="This job has ended"):
        bench.read("visual")


@pytest.mark.parametrize("wrong", ["nonsense", "earthy"])
def test_an_item_the_machine_does_not_have_is_refused(bench: Any, wrong: str) -> None:
    with pytest.raises(Refused, match="no such item"):
        bench.read(wrong, "1")


def test_facts_of_thirty_jobs_take_the_queries_of_one(bench: Any, django_assert_num_queries: Any) -> None:
    bench.make_safe()
    many = [factories.KettleJobFactory().pk for _ in range(29)]
    with django_assert_num_queries(14):
        stations.PROVE.facts([bench.job.pk])
    with django_assert_num_queries(14):
        assert len(stations.PROVE.facts([bench.job.pk, *many])) == 30
    with django_assert_num_queries(16):
        stops.stops([bench.job.pk, *many], NOON.date())


# --- helpers ---------------------------------------------------------------------------------------------


def _prove_all(bench: Any) -> None:
    for code in ("safety_parts", "plate_volts", "plug_fits"):
        bench.read(code)
    bench.make_safe()
    for code in ("leak_hot", "relief", "drip_cold"):
        bench.read(code)
    for code, value in (("pressure", "9.1"), ("watts_heating", "1400"), ("ready", "12"), ("steam_ready", "40")):
        bench.read(code, value)
    bench.pull("12", "27")
    bench.pull("12", "28.5")
    set_recipe(bench.act(at=bench.now()), bench.job, {"portions": 1, "dose_tolerance_g": 0})


def _seen(facts: Any) -> str:
    return fingerprint(facts)


def _standing(bench: Any) -> tuple[str, bool]:
    found = standings([stations.PROVE], [bench.job.pk])[bench.job.pk][0]
    return found.state.value, found.changed
