"""Which care tasks a machine gets, how often and why."""

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.care.intervals import DESCALE, KINDS, TASK_CODES, CareInputs, litres_per_day, tasks
from workshop.trade.water.scale import descale_interval

USUAL = {
    "drinks_per_day": Decimal(4),
    "milk_drinks_per_day": Decimal(2),
    "hardness_mg_l": Decimal(280),
    "alkalinity_mg_l": Decimal(250),
    "kind": "HEAT_EXCHANGER",
    "has_three_way_valve": True,
    "has_grinder": True,
    "has_filter": False,
}


def care(**changes):
    """A home of 4 drinks a day, 2 with milk, in hard water, unless said otherwise."""
    return {task.code: task for task in tasks(CareInputs(**USUAL | changes))}


def test_a_home_of_four_drinks_gets_the_typical_advice():
    # Typical column of the collected care table: weekly, monthly, yearly (source V-01).
    found = care()
    assert {code: task.every_days for code, task in found.items()} == {
        "FLUSH_GROUP": None,
        "WIPE_WAND": None,
        "STOOD_A_WEEK": None,
        "RINSE_HANDLE": 1,
        "PLAIN_BACKFLUSH": 3,
        "DETERGENT_BACKFLUSH": 7,
        "DESCALE": 21,
        "SOAK_SCREEN": 30,
        "BRUSH_GRINDER": 30,
        "BOILER_WATER": 91,
        "CHANGE_GASKET": 365,
    }


@pytest.mark.parametrize(
    ("code", "low", "high"),
    [
        ("PLAIN_BACKFLUSH", 1, 7),
        ("DETERGENT_BACKFLUSH", 1, 28),
        ("SOAK_SCREEN", 7, 60),
        ("CHANGE_GASKET", 91, 730),
        ("BRUSH_GRINDER", 7, 365),
    ],
)
def test_use_moves_a_task_only_between_the_most_and_least_frequent_advice(code, low, high):
    busy = care(drinks_per_day=Decimal(60))[code]
    quiet = care(drinks_per_day=Decimal("0.1"), milk_drinks_per_day=Decimal(0))[code]
    assert (busy.every_days, quiet.every_days) == (low, high)


def test_descale_rests_on_the_water_room():
    inputs = CareInputs(**USUAL)
    # 4 drinks of 0.10 L and 2 of 0.03 L of steam.
    assert litres_per_day(inputs) == Decimal("0.46")
    expected = descale_interval(
        hardness_mg_l=Decimal(280),
        alkalinity_mg_l=Decimal(250),
        temp_c=Decimal(125),
        litres_per_day=Decimal("0.46"),
    )
    descale = care()[DESCALE]
    assert expected.days // 7 * 7 == descale.every_days
    assert descale.why == "Water of 280 mg/L and 4 drinks a day: about 11.7 L until scale counts."


def test_soft_water_waits_for_the_calendar_cap():
    descale = care(hardness_mg_l=Decimal(20), alkalinity_mg_l=Decimal(15), drinks_per_day=Decimal(2))[DESCALE]
    assert descale.every_days == 180
    assert descale.why == "Water of 20 mg/L leaves little scale: this is the longest we would wait."


def test_without_alkalinity_the_worst_is_taken():
    unknown = care(alkalinity_mg_l=None)[DESCALE]
    assert unknown.every_days == care(alkalinity_mg_l=Decimal(280))[DESCALE].every_days


def test_a_single_boiler_scales_faster_when_it_steams():
    water = {"kind": "SINGLE_BOILER", "hardness_mg_l": Decimal(150), "alkalinity_mg_l": Decimal(80)}
    plain = care(**water, milk_drinks_per_day=Decimal(0))[DESCALE].every_days
    milky = care(**water, milk_drinks_per_day=Decimal("0.001"))[DESCALE].every_days
    assert milky < plain
    # A heat exchanger stands at steam heat with or without milk.
    always = care(**water | {"kind": "HEAT_EXCHANGER"}, milk_drinks_per_day=Decimal(0))[DESCALE].every_days
    assert always == milky


def test_water_far_too_hard_says_so():
    descale = care(
        kind="THERMOBLOCK",
        drinks_per_day=Decimal(40),
        milk_drinks_per_day=Decimal(20),
        hardness_mg_l=Decimal(400),
        alkalinity_mg_l=None,
    )[DESCALE]
    assert descale.why.endswith("That is too often: use softer water.")
    assert not descale.in_calendar


@given(st.integers(0, 600), st.integers(0, 200))
def test_harder_water_never_waits_longer(hardness, more):
    soft = care(hardness_mg_l=Decimal(hardness), alkalinity_mg_l=None)[DESCALE]
    hard = care(hardness_mg_l=Decimal(hardness + more), alkalinity_mg_l=None)[DESCALE]
    assert hard.every_days <= soft.every_days


@given(st.integers(2, 60), st.integers(0, 20))
def test_more_drinks_never_wait_longer(drinks, more):
    few, many = care(drinks_per_day=Decimal(drinks)), care(drinks_per_day=Decimal(drinks + more))
    for code, task in few.items():
        assert (many[code].every_days or 0) <= (task.every_days or 0)


def test_no_valve_no_backflush_even_when_a_manual_names_one():
    found = care(has_three_way_valve=False, maker_overrides={"DETERGENT_BACKFLUSH": 30})
    assert [code for code in found if "BACKFLUSH" in code] == []


def test_a_grinder_alone_gets_only_the_brush():
    assert list(care(kind="GRINDER", has_grinder=False, has_filter=True)) == ["BRUSH_GRINDER"]


def test_tasks_follow_the_machine():
    assert "BOILER_WATER" not in care(kind="THERMOBLOCK")
    assert "WIPE_WAND" not in care(milk_drinks_per_day=Decimal(0))
    assert "BRUSH_GRINDER" not in care(has_grinder=False)
    assert care(has_filter=True)["CHANGE_FILTER"].every_days == 60


def test_the_makers_manual_overrides_and_says_so():
    descale = care(maker_overrides={"DESCALE": 90})[DESCALE]
    assert (descale.every_days, descale.why) == (90, "The maker's manual says every 3 months.")
    weekly = care(maker_overrides={"SOAK_SCREEN": 7})["SOAK_SCREEN"]
    assert (weekly.every_days, weekly.in_calendar) == (7, False)
    daily = care(maker_overrides={"WIPE_WAND": 10})["WIPE_WAND"]
    assert (daily.every_days, daily.in_calendar) == (10, True)


def test_nothing_weekly_or_oftener_enters_the_calendar():
    found = care(drinks_per_day=Decimal("3.5"))  # 7 x 4 / 3.5 = 8 days
    assert found["DETERGENT_BACKFLUSH"].every_days == 8
    for task in found.values():
        assert task.in_calendar is ((task.every_days or 0) > 7)


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_task_of_every_kind_has_words_and_a_reason(kind):
    found = care(kind=kind, has_filter=True)
    assert set(found) <= TASK_CODES
    for task in found.values():
        assert task.words.endswith(".")
        assert task.why.endswith(".")
        assert task.source.code.startswith("V-")


def test_all_tasks_are_reached():
    assert set(care(has_filter=True)) == TASK_CODES


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"kind": "TEAPOT"}, "No care rules are known for the kind 'TEAPOT'."),
        ({"drinks_per_day": Decimal(0)}, "Drinks a day must be above zero."),
        ({"drinks_per_day": Decimal("NaN")}, "Drinks a day must be above zero."),
        ({"milk_drinks_per_day": Decimal(5)}, "Milk drinks a day must lie between zero and all drinks."),
        ({"milk_drinks_per_day": Decimal(-1)}, "Milk drinks a day must lie between zero and all drinks."),
        ({"maker_overrides": {"DESCALE": 0}}, "A maker's interval is at least one day."),
        ({"maker_overrides": {"POLISH": 5}}, "No care task has the code 'POLISH'."),
        ({"hardness_mg_l": Decimal(-1)}, "The hardness cannot be below nought."),
    ],
)
def test_impossible_inputs_are_refused_in_a_sentence(change, sentence):
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        care(**change)
