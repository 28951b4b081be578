"""Each limit at its end, just inside and just outside, through the service; and what no reading may pass for."""

from decimal import Decimal
from typing import Any

import pytest

from tests.bench import factories
from workshop.bench.facts.prove import ItemState
from workshop.core.acts import Refused
from workshop.core.models import ModelNotes, Reading
from workshop.core.words import Outcome


# UK 5th edition: 0.1 ohm + 1.5 m x 19.5 milliohm per m = 0.129; heating under 3 kW 0.3 megohm
@pytest.mark.parametrize(
    ("code", "value", "outcome"),
    [
        ("earth", "0.128", Outcome.PASS),
        ("earth", "0.129", Outcome.PASS),
        ("earth", "0.130", Outcome.FAIL),
        ("insulation", "0.31", Outcome.PASS),
        ("insulation", "0.30", Outcome.PASS),
        ("insulation", "0.29", Outcome.FAIL),
    ],
)
def test_electrical_limits_at_and_beside_their_end(bench: Any, code: str, value: str, outcome: Outcome) -> None:
    assert bench.read(code, value).outcome == outcome


# vibratory pump 8.5 to 12.0 bar (C-12, C-13); 1,400 W plate: 1,260 to 1,470 W (IEC 60335-1 clause 10)
@pytest.mark.parametrize(
    ("code", "value", "outcome"),
    [
        ("pressure", "8.4", Outcome.FAIL),
        ("pressure", "8.5", Outcome.PASS),
        ("pressure", "12.0", Outcome.PASS),
        ("pressure", "12.1", Outcome.FAIL),
        ("watts_heating", "1259.9", Outcome.FAIL),
        ("watts_heating", "1260", Outcome.PASS),
        ("watts_heating", "1470", Outcome.PASS),
        ("watts_heating", "1470.1", Outcome.FAIL),
    ],
)
def test_bands_at_and_beside_both_ends(bench: Any, code: str, value: str, outcome: Outcome) -> None:
    bench.make_safe()
    assert bench.read(code, value).outcome == outcome


@pytest.mark.parametrize(
    ("low", "high", "outcome"),
    [
        ("88", "93", Outcome.PASS),
        ("87.9", "92", Outcome.FAIL),
        ("92", "96.1", Outcome.PASS),
        ("92", "96.2", Outcome.FAIL),
        ("90", "95.1", Outcome.FAIL),  # more than 5 °C apart (C-16)
    ],
)
def test_brewing_water_is_five_draws_that_agree(bench: Any, low: str, high: str, outcome: Outcome) -> None:
    bench.make_safe()
    assert bench.read("brew_water", series=bench.draws("92", high, "92", low, "92")).outcome == outcome


@pytest.mark.parametrize("typed", [(), ("92",), ("92", "92", "92", "92"), ("0", "0", "0", "0", "0")])
def test_a_series_wants_every_one_of_its_values(bench: Any, typed: tuple[str, ...]) -> None:
    bench.make_safe()
    with pytest.raises(Refused, match="Type") as refused:
        bench.read("brew_water", series=bench.draws(*typed))
    assert refused.value.field == "draw_1"
    assert not Reading.objects.filter(item="brew_water").exists()


@pytest.mark.parametrize(("value", "outcome"), [("55.9", Outcome.FAIL), ("56", Outcome.PASS)])
def test_water_let_through_is_held_against_other_units_of_the_model(bench: Any, value: str, outcome: Outcome) -> None:
    other = factories.KettleFactory(notes=bench.job.machine.notes)
    sibling = factories.KettleJobFactory(machine=other)
    Reading.objects.create(
        job=sibling, card="water", item="debit", title="Water", value=80, unit="ml", outcome="RECORDED",
        by=bench.act().by, at=bench.now(),
    )  # fmt: skip
    bench.make_safe()
    assert bench.read("debit", value).outcome == outcome


def test_the_first_unit_of_a_model_has_no_usual_water_and_is_only_recorded(bench: Any) -> None:
    bench.make_safe()
    reading = bench.read("debit", "40")
    assert (reading.outcome, reading.limit_words) == (Outcome.RECORDED, "recorded, no limit")


def test_a_reading_keeps_limit_edition_and_source_as_they_stood(bench: Any) -> None:
    reading = bench.read("earth", "0.09")
    assert (reading.limit_high, reading.limit_words) == (Decimal("0.129"), "0.129 ohm or less")
    assert reading.edition == "United Kingdom, IET Code of Practice, 5th edition, 2020"
    assert reading.source.startswith("S-01 ")


@pytest.mark.parametrize(
    ("code", "value", "sign", "outcome"),
    [
        ("insulation", "99.9", ">", Outcome.PASS),
        ("insulation", "99.9", "<", Outcome.FAIL),
        ("earth", "0.01", "<", Outcome.PASS),
        ("earth", "0.01", ">", Outcome.FAIL),
    ],
)
def test_over_range_is_kept_with_its_sign_and_shows_one_side_only(
    bench: Any, code: str, value: str, sign: str, outcome: Outcome
) -> None:
    reading = bench.read(code, value, sign=sign)
    assert (reading.outcome, reading.sign) == (outcome, sign)


def test_a_pass_fail_tester_is_its_set_limit_with_a_sign(bench: Any) -> None:
    assert bench.read("earth", "0.1", sign="<").outcome == Outcome.PASS
    assert bench.read("earth", "0.5", sign="<").outcome == Outcome.FAIL  # set looser than this cord's 0.129 ohm


def test_an_unknown_cord_is_asked_for_before_the_earth_reading(bench: Any) -> None:
    bench.job.machine.cord_length_m = None
    bench.job.machine.save()
    with pytest.raises(Refused, match="Measure the length of the mains cord"):
        bench.read("earth", "0.09")
    assert not Reading.objects.exists()


def test_a_cord_put_right_later_is_held_against_todays_limit(bench: Any) -> None:
    bench.read("earth", "0.125")
    assert bench.state("earth") is ItemState.PASSED
    bench.job.machine.cord_length_m = Decimal("1.0")  # 0.1 + 0.0195 = 0.120 ohm
    bench.job.machine.save()
    assert bench.state("earth") is ItemState.FAILED


def test_250_volts_asks_for_a_leakage_reading_beside_it(bench: Any) -> None:
    assert "leakage" not in bench.facts.states
    bench.read("insulation", "50", test_volts=250)
    assert "item_leakage" in bench.missing


def test_surge_parts_ask_for_250_volts_from_the_start(bench: Any) -> None:
    ModelNotes.objects.update(has_surge_parts=True)
    assert bench.facts.states["insulation"].item.title == "Insulation at 250 V"
    assert "leakage" in bench.facts.states


def test_germany_asks_touch_and_leakage_by_its_own_limits(bench: Any, shop: Any) -> None:
    shop.profile = "de_en50678"
    shop.save()
    assert bench.read("earth", "0.3").outcome == Outcome.PASS  # 0.3 ohm to 5 m, EN 50678
    assert bench.read("earth", "0.301").outcome == Outcome.FAIL


def test_class_two_has_no_earth_to_read(bench: Any) -> None:
    bench.job.machine.appliance_class = "class_ii"
    bench.job.machine.save()
    assert "earth" not in bench.facts.states
    assert bench.read("insulation", "1.9").outcome == Outcome.FAIL  # UK: 2.0 megohm
    assert bench.read("insulation", "2.0").outcome == Outcome.PASS


def test_where_the_law_has_no_limit_readings_are_recorded_but_earth_is_still_wanted(bench: Any, shop: Any) -> None:
    shop.profile = "us_record"
    shop.save()
    bench.look_under_lid()
    bench.read("case_shut")
    bench.read("visual")
    assert bench.read("insulation", "50").outcome == Outcome.RECORDED
    assert not bench.facts.safe
    assert bench.read("earth", "20", sign=">").outcome == Outcome.FAIL  # beyond the meter is no earth path
    assert not bench.facts.safe
    assert bench.read("earth", "0.2").outcome == Outcome.RECORDED
    assert bench.facts.safe
