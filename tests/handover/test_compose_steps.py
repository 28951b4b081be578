"""The counter's page in words: one machine, told to kitchens of every kind. Rows stand in memory, no database."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from handover import compose_baskets, compose_card, compose_everyday, compose_safety, compose_steps
from handover.brewing import Brewing
from handover.kitchen import Kitchen
from handover.sheet import NBSP, Signal
from workshop.bench.models import Recipe
from workshop.bench.pages_dose import ProvedButton
from workshop.core.models import Control, ModelNotes
from workshop.core.words import ControlUse

BASKETS = "Double | start here\nTwo-wall | ready-ground\nBlind |"


def notes(**more: Any) -> ModelNotes:
    values = {
        "maker": "Marrowby",
        "model": "Plover",
        "kind": "SINGLE_BOILER",
        "baskets": BASKETS,
        "has_grinder": True,
        "grind_scale": "steps",
        "grind_low": Decimal(1),
        "grind_high": Decimal(24),
        "grind_step": Decimal(1),
        "grind_finer": "LOWER",
        "dose_scale": "clock",
        "ready_sign": "the amber light goes out",
    }
    return ModelNotes(**(values | more))


def recipe(**more: Any) -> Recipe:
    values = {
        "grinder": "BUILT_IN",
        "grind_setting": "12",
        "dose_g": Decimal("16.5"),
        "dose_dial": "half past 2",
        "portions": 1,
        "yield_g": Decimal(34),
        "time_s": Decimal("26.5"),
        "time_low_s": Decimal(23),
        "time_high_s": Decimal(30),
        "lock_in": "half past 6",
        "tamp_cue": "4 mm under the rim",
        "ready_low_min": Decimal(12),
        "ready_high_min": Decimal(18),
        "blank_shots": 2,
    }
    return Recipe(**(values | more))


CONTROLS = {
    ControlUse.POWER.value: Control(use="POWER", label="rocker marked 0 and 1", place="right side"),
    ControlUse.COFFEE.value: Control(use="COFFEE", label="lever down", place="middle"),
    ControlUse.HOT_WATER.value: Control(use="HOT_WATER", label="left tap", place="left side"),
}
MACHINE = Brewing(notes=notes(), recipe=recipe(), controls=CONTROLS)


def told(brewing: Brewing) -> list[str]:
    """The steps as they are read, without their weight."""
    return ["".join(run.words for run in step.runs).replace(NBSP, " ") for step in compose_steps.steps(brewing)]


def in_kitchen(**more: Any) -> Brewing:
    return replace(MACHINE, kitchen=Kitchen(**more))


def test_six_steps_name_this_machines_controls_and_values() -> None:
    assert told(in_kitchen(scale="YES")) == [
        "Fill the tank with cold water. Plug in. Switch on: rocker marked 0 and 1, right side.",
        "Warm up 12 to 18 min, empty handle (portafilter) in, until the amber light goes out.",
        "Rinse. Run 2 cups of water through, no coffee in. Take the handle out. Dry it and the basket.",
        "Grind. Grinder at 12. Dose dial at half past 2. Weigh it: 16.5 g. "
        "Spread it. Press it flat (tamp), 4 mm under the rim.",
        "Lock in. Wipe the rim. Turn the handle firmly to half past 6 (6 points at you). Cup on the scale, scale at 0.",
        "Pour. Start pump (lever down, middle) and timer together. Stop at 34 g in the cup, after 23 to 30 seconds. "
        "Wait 10 s, then turn the handle.",
    ]


def test_without_a_scale_the_depth_and_the_seconds_stand_in() -> None:
    steps = told(in_kitchen(scale="NO"))
    assert steps[3].endswith(
        "That gives 16.5 g. Spread it. Press it flat (tamp), 4 mm under the rim. That depth is 16.5 g."
    )
    assert "Stop after 26 seconds: about 34 g in the cup." in steps[5]
    assert [step for step in steps if "scale" in step] == []


def test_nobody_asked_about_a_scale_is_told_both_ways() -> None:
    steps = told(in_kitchen())
    assert steps[3].endswith("No scale? Go by that depth.")
    assert "on a scale at 0 if there is one" in steps[4]


def test_ready_ground_coffee_gets_the_basket_that_forgives_it_and_no_seconds() -> None:
    buyer = in_kitchen(scale="YES", coffee="READY_GROUND")
    steps = told(buyer)
    assert steps[3].startswith("Coffee. Put the two-wall basket in. Weigh in 16.5 g, ready-ground.")
    assert "Stop at 34 g in the cup: the seconds say little here." in steps[5]
    assert "Grinder at" not in " ".join(steps)
    rule = compose_card.adjusting(buyer)
    assert [change.how for change in rule.changes] == ["have it ground finer", "have it ground coarser"]
    assert "proved with freshly ground coffee" in rule.note
    assert rule.chart is None


def test_ready_ground_without_scale_or_two_wall_basket_promises_no_grams() -> None:
    plain = replace(in_kitchen(scale="NO", coffee="READY_GROUND"), notes=notes(baskets="Double | start here"))
    steps = told(plain)
    assert steps[3].startswith("Coffee. Fill the basket loosely to the rim, ground for espresso.")
    assert "Stop when the cup is as full as you like it" in steps[5]


@pytest.mark.parametrize(
    ("grinder", "words"),
    [
        ("YES", "Grind fine, for espresso: 16.5 g into the basket."),
        ("NO", "Coffee. Have it ground fresh for espresso. Put 16.5 g in the basket."),
        ("UNKNOWN", "Grind. Put 16.5 g of fresh ground coffee in the basket."),
    ],
)
def test_our_own_grinder_gives_no_number_whatever_the_buyer_has(grinder: str, words: str) -> None:
    ours = replace(in_kitchen(grinder=grinder), recipe=recipe(grinder="OURS", grind_setting="", dose_dial=""))
    assert told(ours)[3].startswith(words)
    assert "12" not in told(ours)[3].replace("16.5", "")


def test_the_buyers_own_grinder_keeps_its_number() -> None:
    theirs = replace(in_kitchen(grinder="YES"), recipe=recipe(grinder="BUYERS", grind_setting="8", dose_dial=""))
    assert told(theirs)[3].startswith("Grind. Your grinder at 8: 16.5 g into the basket.")


def test_a_new_seal_is_said_only_where_it_is_new() -> None:
    assert "With use the new seal lets it further." in told(replace(MACHINE, new_seal=True))[4]
    assert "seal" not in told(MACHINE)[4]


def test_a_proved_button_is_pressed_and_stops_by_itself() -> None:
    proved = (
        ProvedButton("one cup button", "", timed=True, gives_g=Decimal("18.2")),
        ProvedButton("two cups button", "", timed=True, gives_g=Decimal("33.8")),
    )
    controls = CONTROLS | {"COFFEE": Control(use="COFFEE", label="two cups button", place="top")}
    labels = frozenset({"two cups button", "one cup button"})
    machine = replace(MACHINE, buttons=proved, controls=controls, coffee_labels=labels)
    pour = told(machine)[5]
    assert pour.startswith("Pour. Press two cups button, top, start the timer. It stops by itself: 34 g in 23 to 30")
    assert compose_card.adjusting(machine).note.endswith("Then teach the button again.")

    dripped = replace(machine, recipe=recipe(timed_from="FIRST_DRIP"))
    assert told(dripped)[5].startswith(
        "Pour. Start the pump (two cups button, top), the timer at the first drip. It stops by itself: 34 g in 23 to 30"
    )


def test_what_was_not_measured_is_not_said() -> None:
    bare = recipe(lock_in="", tamp_cue="", ready_low_min=None, ready_high_min=None, blank_shots=None, dose_dial="")
    steps = told(replace(MACHINE, recipe=bare, controls={}, notes=notes(ready_sign="")))
    assert steps[0].endswith("Switch on.")
    assert steps[1] == "Warm up with the empty handle (portafilter) locked in."
    assert steps[4].startswith("Lock in. Wipe the rim. Turn the handle firmly. Cup under it")
    assert "None" not in " ".join(steps)


def test_a_lever_without_a_pump_is_worked_not_started() -> None:
    lever = replace(MACHINE, notes=notes(kind="LEVER", pump="NONE"))
    assert told(lever)[5].startswith("Pour. Work the lever (lever down, middle).")
    assert [each.hazard for each in compose_safety.messages(lever.notes)][-1] == "The heater can burn out."


def test_a_grinder_alone_gets_a_first_use_of_its_own() -> None:
    alone = replace(MACHINE, notes=notes(kind="GRINDER", has_steam=False), recipe=None)
    assert [step.split()[0] for step in told(alone)] == ["Fill", "Set", "Throw", "Brush"]
    assert (compose_everyday.milk(alone), compose_everyday.after_use(alone)) == ((), ())


# --- the foot of the page --------------------------------------------------------------------------------


def test_baskets_hot_water_and_the_long_drink() -> None:
    rows = [(row.label, row.words.replace(NBSP, " ")) for row in compose_baskets.rows(MACHINE)]
    assert rows == [
        ("Double", "start here"),
        ("Two-wall", "ready-ground"),
        ("Blind", "cleaning only"),
        ("Left tap", "hot water: scalds"),
        ("Long", "water, coffee on top"),
    ]
    hot = compose_baskets.rows(replace(MACHINE, measured={"hot_water": Decimal("91.4")}))
    assert hot[3].words.replace(NBSP, " ") == "water of 91 °C: scalds"


def test_a_jug_is_timed_only_where_the_steam_was_measured() -> None:
    # Sources C-10 and V-08: 150 g of milk from 4 to 60 °C needs 33.0 kJ, 33 s a net kilowatt.
    measured = compose_everyday.milk(replace(MACHINE, measured={"steam_power": Decimal(1000)}))
    assert f"150{NBSP}g takes about 33{NBSP}s" in measured
    assert [line for line in compose_everyday.milk(MACHINE) if "takes" in line] == []


def test_the_way_back_from_steam_comes_first_after_use() -> None:
    back = recipe(back_to_coffee="Run water until it stops spitting", back_to_coffee_s=Decimal(20))
    lines = compose_everyday.after_use(replace(MACHINE, recipe=back))
    assert lines[0].replace(NBSP, " ") == "After milk: run water until it stops spitting (20 s)"


def test_what_not_to_do_knows_valve_and_weight() -> None:
    said = " ".join(compose_everyday.never(replace(MACHINE, notes=notes(mass_kg=Decimal("17.5")))))
    assert "never mix descaler with bleach" in said.lower()
    assert "No detergent through the group." in said
    assert f"17.5{NBSP}kg" in said
    light = " ".join(
        compose_everyday.never(replace(MACHINE, notes=notes(mass_kg=Decimal(8), has_three_way_valve=True)))
    )
    assert ("kg" in light, "detergent" in light) == (False, False)


def test_a_machine_for_two_people_says_so_on_top() -> None:
    heavy = compose_safety.messages(notes(mass_kg=Decimal(25)))
    assert [each.signal for each in heavy].count(Signal.WARNING) == 3
    assert 3 <= len(heavy) <= 5


@pytest.mark.parametrize("steam", [True, False])
def test_steam_is_warned_of_only_where_there_is_steam(*, steam: bool) -> None:
    hazards = " ".join(each.hazard for each in compose_safety.messages(notes(has_steam=steam)))
    assert ("Steam" in hazards) is steam
