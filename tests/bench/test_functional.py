"""The functional set: series, the steam test, each band, the size of the cards, a grinder alone."""

import re
from decimal import Decimal
from typing import Any

import pytest

from tests.bench import factories
from workshop.bench import card_items, cards, limits, pages_prove, say
from workshop.bench.cards import Unit
from workshop.bench.pages import not_measured
from workshop.bench.pages_card import limit_now
from workshop.bench.services import work
from workshop.core.acts import Odd, Refused
from workshop.core.models import Instrument, ModelNotes, Reading
from workshop.core.services import strike_reading
from workshop.core.words import InstrumentKind, Outcome
from workshop.trade.safety.electrical import PROFILES, Appliance, ApplianceClass

EVERY_INSTRUMENT = frozenset(kind.value for kind in InstrumentKind)
# 150 g of milk from 4 to 60 °C takes 33.0 kJ: 33 s for each net kilowatt (derived check value, C-10)
PUBLISHED = {"liquid": "milk", "grams": "150", "start_c": "4", "end_c": "60", "time_s": "33"}
EVERY_FITTING = {
    "has_three_way_valve": True,
    "has_gauge": True,
    "gauge_from": "10 o'clock",
    "gauge_to": "2 o'clock",
    "timed_button": False,
}


@pytest.fixture
def safe(bench: Any) -> Any:
    ModelNotes.objects.update(**EVERY_FITTING)
    bench.make_safe()
    return bench


def steam(bench: Any, **changes: str) -> Reading:
    typed = {**PUBLISHED, **changes}
    inputs = {name: value if name == "liquid" else Decimal(value) for name, value in typed.items()}
    reading: Reading = bench.read("steam_power", inputs=inputs)
    return reading


# --- the steam test --------------------------------------------------------------------------------------


def test_the_published_jug_makes_a_kilowatt_and_keeps_what_was_typed(safe: Any) -> None:
    reading = steam(safe)
    assert (reading.value, reading.unit, reading.outcome) == (1000, "W", Outcome.PASS)
    assert reading.inputs == PUBLISHED
    assert say.behind(reading)[2] == "33\u00a0kJ in 33\u00a0s = 1,000\u00a0W net"


# half of a 1,200 W element is 600 W: 33.0 kJ in 55 s is 600 W, in 56 s 590 W
@pytest.mark.parametrize(("time_s", "outcome"), [("55", Outcome.PASS), ("56", Outcome.FAIL)])
def test_steam_is_held_against_the_boilers_own_watts(safe: Any, time_s: str, outcome: Outcome) -> None:
    ModelNotes.objects.update(boiler_watts=1200)
    reading = steam(safe, time_s=time_s)
    assert (reading.outcome, reading.limit_words) == (outcome, "600 W or more")


def test_two_boilers_with_only_a_plate_are_recorded(safe: Any) -> None:
    ModelNotes.objects.update(kind="DUAL_BOILER")
    assert steam(safe, time_s="90").outcome == Outcome.RECORDED


@pytest.mark.parametrize(
    ("box", "value", "words"),
    [
        ("end_c", "4", "warmer than it began"),
        ("end_c", "3", "warmer than it began"),
        ("grams", "0", "more than nothing"),
        ("time_s", "0", "more than nothing"),
    ],
)
def test_a_jug_that_cannot_be_is_refused_beside_its_box(safe: Any, box: str, value: str, words: str) -> None:
    with pytest.raises(Refused, match=words) as refused:
        steam(safe, **{box: value})
    assert refused.value.field == box


@pytest.mark.parametrize(("start_c", "end_c"), [("40", "140"), ("4", "100.1")])
def test_a_jug_hotter_than_water_boils_is_refused_as_fahrenheit(safe: Any, start_c: str, end_c: str) -> None:
    with pytest.raises(Refused, match="Is that Fahrenheit") as refused:
        steam(safe, liquid="water", grams="200", start_c=start_c, end_c=end_c, time_s="60")
    assert refused.value.field == "end_c"
    assert not isinstance(refused.value, Odd)


@pytest.mark.parametrize(
    ("box", "odd", "usual"),
    [
        ("grams", "0.2", "50"),
        ("grams", "1001", "1000"),
        ("start_c", "35.1", "35"),
        ("end_c", "39.9", "40"),
        ("end_c", "80.1", "80"),
        ("time_s", "4.9", ""),  # a jug warmed in 5 s is too many watts in any case
        ("time_s", "241", "240"),
    ],
)
def test_each_box_of_the_jug_is_asked_about_beside_itself(safe: Any, box: str, odd: str, usual: str) -> None:
    ModelNotes.objects.update(kind="DUAL_BOILER")  # nothing to hold the watts against
    with pytest.raises(Odd, match="Is that what it shows") as asked:
        steam(safe, **{box: odd})
    assert asked.value.fields == (box,)
    assert not Reading.objects.filter(item="steam_power").exists()
    if usual:
        assert steam(safe, **{box: usual}).inputs[box] == usual


def test_two_odd_boxes_are_asked_about_at_once_and_one_yes_records(client_in: Any, kettle: str, safe: Any) -> None:
    path = f"/machines/{kettle}/cards/heat/steam_power/read/"
    typed = {**PUBLISHED, "grams": "0,2", "start_c": "39", "version": "0"}
    page = client_in.post(path, typed).content.decode()
    assert "0.2\u00a0g is hardly what a jug holds." in page
    assert "39\u00a0°C is warm for a jug before the steam." in page
    for box in ("grams", "start_c"):
        assert re.search(rf'name="{box}"[^>]*aria-invalid="true"', page)
    sure = re.search(r'name="sure" value="([^"]+)"', page)
    assert sure is not None
    assert client_in.post(path, {**typed, "start_c": "38", "sure": sure.group(1)}).status_code == 422
    assert client_in.post(path, {**typed, "sure": sure.group(1)}).status_code == 302


def test_far_more_steam_than_the_boiler_has_is_asked_about(safe: Any) -> None:
    with pytest.raises(Odd, match="far from the 1,400") as asked:
        steam(safe, time_s="15.6")  # 2,115 W
    assert asked.value.field == "time_s"
    assert steam(safe, time_s="15.8").outcome == Outcome.PASS  # 2,088 W: inside 1.5 times


# --- series ----------------------------------------------------------------------------------------------


def test_every_value_of_a_series_is_kept_in_order_with_its_ends(safe: Any) -> None:
    reading = safe.read("brew_water", series=safe.draws("91.5", "92.2", "92.6", "93", "92.4"))
    assert reading.series == ["91.5", "92.2", "92.6", "93", "92.4"]
    assert (reading.value, reading.value_to) == (Decimal("91.5"), Decimal(93))
    assert say.behind(reading) == [
        "91.5, 92.2, 92.6, 93, 92.4\u00a0°C",
        "Mean 92.34\u00a0°C, spread 1.5\u00a0°C, standard deviation 0.55\u00a0°C",
    ]


@pytest.mark.parametrize(
    ("code", "values", "outcome"),
    [
        ("button_repeat", ("34", "36", "38"), Outcome.PASS),  # within 2 g of their mean (C-07)
        ("button_repeat", ("34", "36", "38.2"), Outcome.FAIL),
        ("spout_balance", ("19", "21"), Outcome.PASS),
        ("spout_balance", ("19", "21.1"), Outcome.FAIL),
        ("spout_balance", ("0", "38"), Outcome.FAIL),
        ("dose_repeat", ("16", "16.5", "17", "16.5", "16.5"), Outcome.PASS),
        ("dose_repeat", ("16", "16.5", "17.1", "16.5", "16.5"), Outcome.FAIL),
    ],
)
def test_a_series_is_judged_by_how_far_its_values_lie_apart(
    safe: Any, code: str, values: tuple[str, ...], outcome: Outcome
) -> None:
    reading = safe.read(code, series=safe.draws(*values))
    assert reading.outcome == outcome
    assert outcome == Outcome.PASS or say.too_words(reading).endswith("g is too far apart")


def test_two_cups_are_told_by_how_far_they_lie_apart(safe: Any) -> None:
    reading = safe.read("spout_balance", series=safe.draws("19", "21"))
    assert say.behind(reading)[1] == "Mean 20\u00a0g, spread 2\u00a0g: 10\u00a0% of the mean"


@pytest.mark.parametrize(("code", "value"), [("hot_water", "90"), ("drip_stop", "3")])
def test_a_limit_of_common_practice_says_so(safe: Any, code: str, value: str) -> None:
    assert safe.read(code, value).edition == "Common practice in the trade, no published source"


def test_a_series_taken_back_keeps_its_values_in_the_record(safe: Any) -> None:
    reading = safe.read("spout_balance", series=safe.draws("19", "21"))
    strike_reading(safe.act(at=safe.now()), reading)
    assert Reading.objects.get(corrects=reading).series == ["19", "21"]


# --- the other bands -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "value", "outcome"),
    [
        ("pressure_shot", "7.9", Outcome.FAIL),
        ("pressure_shot", "8", Outcome.PASS),
        ("pressure_shot", "10", Outcome.PASS),
        ("pressure_shot", "10.1", Outcome.FAIL),
        ("hot_water", "84.9", Outcome.FAIL),
        ("hot_water", "85", Outcome.PASS),
        ("drip_stop", "5", Outcome.PASS),
        ("drip_stop", "5.1", Outcome.FAIL),
        ("watts_pumping", "38.3", Outcome.FAIL),
        ("watts_pumping", "38.4", Outcome.PASS),
        ("watts_pumping", "57.6", Outcome.PASS),
        ("watts_pumping", "57.7", Outcome.FAIL),
    ],
)
def test_each_band_at_and_beside_its_end(safe: Any, code: str, value: str, outcome: Outcome) -> None:
    ModelNotes.objects.update(pump_watts=48)
    assert safe.read(code, value).outcome == outcome


def test_pump_watts_without_a_plate_are_recorded_and_a_band_from_memory_says_so(safe: Any) -> None:
    assert safe.read("watts_pumping", "46").outcome == Outcome.RECORDED
    assert "From memory" in safe.read("watts_heating", "1400").edition


def test_a_reading_is_said_the_same_in_the_record_as_on_its_card(safe: Any) -> None:
    assert str(safe.read("watts_heating", "1390")) == "Watts while heating: 1,390 W"


def test_the_needle_stands_in_the_zone_of_the_notes(safe: Any) -> None:
    assert safe.read("gauge_zone").state == "in its zone, 10 o'clock to 2 o'clock"
    assert safe.read("gauge_zone", answer="bad").outcome == Outcome.FAIL


def test_water_through_says_from_how_many_units_its_limit_is(safe: Any) -> None:
    for ml in (70, 80, 90):
        sibling = factories.KettleJobFactory(machine__notes=safe.job.machine.notes)
        Reading.objects.create(
            job=sibling, card="water", item="debit", title="Water", value=ml, unit="ml", outcome="RECORDED",
            by=safe.act().by, at=safe.now(),
        )  # fmt: skip
    limit = limit_now(safe.job, safe.facts, safe.facts.states["debit"].item)[0]
    assert limit is not None
    assert (limit.head, limit.words) == ("Limit, from 80 ml of 3 earlier units of this model", "56 ml or more")
    _deep(safe)
    rows = {row.code: row.limit for row in pages_prove.prove_rows(safe.job, safe.facts)}
    assert rows["debit"] == "56 ml or more"


# --- which items, on which cards -------------------------------------------------------------------------

SHORT = {
    "water": ["leak_hot", "drip_cold", "relief", "pressure"],
    "heat": ["watts_heating", "ready", "steam_ready"],
}


def test_the_short_set_is_as_short_as_before(bench: Any) -> None:
    ModelNotes.objects.update(**EVERY_FITTING)
    asked = {card.code: [item.code for item in card.items] for card in bench.facts.cards}
    assert asked == {
        "before-lid": ["safety_parts", "plate_volts", "plug_fits"],
        "safe-to-power": ["case_shut", "visual", "earth", "insulation"],
        **SHORT,
    }


def _unit(kind: str, **more: Any) -> Unit:
    fitted: dict[str, Any] = {
        "kind": kind, "pump": "VIBRATORY", "has_steam": True, "volts": 230, "watts": 1400, "cord_words": "",
        "place_has_fused_plugs": True, "profile": PROFILES["uk_iet_5"],
        "appliance": Appliance(ApplianceClass.CLASS_I, Decimal("1.5"), Decimal(1), Decimal(1400)),
        "has_three_way_valve": True, "has_grinder": True, "has_button": True,
        "gauge_words": "10 o'clock to 2 o'clock", "deep": True,
    }  # fmt: skip
    return Unit(**{**fitted, **more})


@pytest.mark.parametrize("kind", ["SINGLE_BOILER", "HEAT_EXCHANGER", "DUAL_BOILER", "THERMOBLOCK"])
@pytest.mark.parametrize("has_grinder", [True, False])
def test_each_card_of_a_full_machine_has_five_to_nine_items_stop_items_first(kind: str, has_grinder: bool) -> None:
    full = cards.asked(card_items.cards_for(_unit(kind, has_grinder=has_grinder)), EVERY_INSTRUMENT, full=True)
    # Insulation is read hot once all else was hot, with the plug drawn for it: the one stop item at a card's end.
    worked = {card.code: [item.stop for item in card.items if item.code != "insulation_hot"] for card in full}
    assert {code: 5 <= len(worked[code]) <= 9 for code in ("water", "heat", "coffee")} == dict.fromkeys(
        ("water", "heat", "coffee"), True
    )
    assert all(stops == sorted(stops, reverse=True) for stops in worked.values())
    assert max(len(stops) for stops in worked.values()) <= 9


@pytest.mark.parametrize("has_grinder", [True, False])
def test_no_item_is_on_two_cards_and_every_limit_can_be_said(has_grinder: bool) -> None:
    unit = _unit("HEAT_EXCHANGER", has_grinder=has_grinder, pump_watts=48)
    items = [item for card in card_items.cards_for(unit) for item in card.items if item.measure is None]
    assert len({item.code for item in items}) == len(items)
    for item in items:
        limit = None if item.seen else limits.limit_for(item, unit)
        assert limit is None or 0 < len(limit.words) <= 80


def test_instruments_of_the_steam_test_are_all_wanted(bench: Any) -> None:
    _deep(bench)
    assert "steam_power" in {s.item.code for s in bench.facts.asked()}
    Instrument.objects.filter(kind="SCALE").delete()
    assert "steam_power" not in {s.item.code for s in bench.facts.asked()}
    assert not_measured(bench.job) == [
        "water through the empty group",
        "steam power into the jug",
        "two spouts, two cups",
        "five doses, weighed",
    ]


def _deep(bench: Any) -> None:
    work.add_work(bench.act(at=bench.now()), bench.job, station="MEND", what="New pump", minutes=30, part=None)


def test_the_short_set_names_only_what_it_would_have_asked_as_not_measured(bench: Any) -> None:
    Instrument.objects.filter(kind__in=("SCALE", "GAUGE")).delete()
    assert not_measured(bench.job) == ["pressure at the group"]


def test_fittings_the_model_lacks_are_not_asked_about(bench: Any) -> None:
    _deep(bench)
    full = {s.item.code for s in bench.facts.asked()}
    assert full.isdisjoint({"gauge_zone", "drip_stop", "button_repeat"})
    ModelNotes.objects.update(**EVERY_FITTING)
    assert {"gauge_zone", "drip_stop", "button_repeat"} <= {s.item.code for s in bench.facts.asked()}


def test_a_grinder_alone_is_finished_by_its_own_card(bench: Any) -> None:
    ModelNotes.objects.update(kind="GRINDER", has_grinder=False)
    for code in ("safety_parts", "plate_volts", "plug_fits"):
        bench.read(code)
    bench.make_safe()
    assert bench.missing == ["item_grinder_noise", "item_dose_repeat"]
    bench.read("grinder_noise")
    bench.read("dose_repeat", series=bench.draws("17", "17.2", "17.1", "16.9", "17"))
    assert bench.missing == []
