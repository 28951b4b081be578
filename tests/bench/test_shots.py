"""Test shots, what to try next, and the recipe that rests on two of them."""

from decimal import Decimal
from typing import Any

import pytest

from workshop.bench import pages_next, pages_recipe, pages_shots, recipe_rule, stations
from workshop.bench.dialin import is_pressurised
from workshop.bench.models import Coffee, Recipe, Shot
from workshop.bench.services import recipe as recipes
from workshop.bench.services import shots
from workshop.bench.undo import UNDO
from workshop.core.acts import Refused, Stale
from workshop.core.models import Job, JournalEntry, ModelNotes


@pytest.fixture
def safe(bench: Any) -> Any:
    bench.make_safe()
    return bench


def recipe(bench: Any, **words: Any) -> JournalEntry:
    values = {"portions": 1, "dose_tolerance_g": Decimal("0.5"), **words}
    return recipes.set_recipe(bench.act(at=bench.now()), bench.job, values)


# --- shots -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("typed", ["12", " 12 ", "12 steps"])
def test_the_setting_is_typed_in_the_grinders_own_words(safe: Any, typed: str) -> None:
    safe.pull(typed, "27")
    shot = Shot.objects.get()
    assert (shot.setting, shot.setting_words) == (12, "12")


@pytest.mark.parametrize(("typed", "why"), [("25", "off this scale"), ("7.5", "between two marks"), ("two", "number")])
def test_a_setting_the_grinder_does_not_have_is_refused_beside_its_box(safe: Any, typed: str, why: str) -> None:
    with pytest.raises(Refused, match=why) as refused:
        safe.pull(typed, "27")
    assert refused.value.field == "setting"
    assert not Shot.objects.exists()


def test_a_bare_dial_is_read_like_a_clock(safe: Any) -> None:
    ModelNotes.objects.update(grind_scale="clock", grind_low=7, grind_high=5, grind_step="0.25", grind_finer="HIGHER")
    safe.pull("half past two", "27")
    assert Shot.objects.get().setting_words == "half past 2"


def test_shots_are_numbered_in_the_order_pulled_also_past_one_taken_out(safe: Any) -> None:
    safe.pull("12", "27")
    safe.pull("12", "28")
    shots.strike_shot(safe.act(at=safe.now()), Shot.objects.get(number=2))
    safe.pull("12", "29")
    assert [shot.number for shot in Shot.objects.current()] == [1, 3]


def test_a_shot_is_taken_out_once_and_undo_does_the_same(safe: Any) -> None:
    entry = safe.pull("12", "27")
    UNDO["add_shot"](safe.act(at=safe.now()), entry)
    assert not Shot.objects.current().exists()
    with pytest.raises(Refused, match="taken out already"):
        shots.strike_shot(safe.act(at=safe.now()), Shot.objects.get(corrects__isnull=True))


def test_a_shot_taken_out_is_put_back_as_it_was_and_out_again(safe: Any) -> None:
    entry = safe.pull("12", "27")
    out = UNDO["add_shot"](safe.act(at=safe.now()), entry)
    back = UNDO["strike_shot"](safe.act(at=safe.now()), out)
    (shot,) = Shot.objects.current()
    assert (shot.number, shot.time_s, shot.at) == (1, 27, entry.at)
    with pytest.raises(Refused, match="not out"):
        UNDO["strike_shot"](safe.act(at=safe.now()), out)
    UNDO["put_shot_back"](safe.act(at=safe.now()), back)
    assert not Shot.objects.current().exists()
    assert {e.subject for e in (entry, out, back)} == {entry.subject}


def test_a_spoilt_shot_says_why(safe: Any) -> None:
    with pytest.raises(Refused, match="what spoilt it"):
        safe.pull("12", "27", spoilt=True)


def test_a_new_coffee_is_kept_once_for_the_whole_shop(safe: Any) -> None:
    for seconds in ("27", "28"):
        safe.pull("12", seconds, new_coffee="House blend", roast_words="medium")
    assert [str(coffee) for coffee in Coffee.objects.all()] == ["House blend, medium"]


@pytest.mark.parametrize(
    ("basket", "pressurised"),
    [("Double, one wall", False), ("Two-wall | ready-ground", True), ("double wall 54", True), ("", False)],
)
def test_a_basket_of_two_walls_is_told_from_its_words(basket: str, pressurised: bool) -> None:
    assert is_pressurised(basket) is pressurised


# --- what to try next ------------------------------------------------------------------------------------


def dial_in(bench: Any) -> Any:
    return bench.facts.dial_in


def test_before_the_first_shot_it_begins_in_the_middle(bench: Any) -> None:
    found = pages_next.next_try(dial_in(bench))
    assert (found.head, found.why) == ("Grinder at 12", "Nothing is pulled yet: begin in the middle of the scale.")


def test_fast_shots_lead_finer_and_a_setting_never_pulled_is_said_to_be(safe: Any) -> None:
    safe.pull("18", "14")
    safe.pull("15", "19")
    found = pages_next.next_try(dial_in(safe))
    setting = int(found.head.split()[2].rstrip(":"))
    assert setting < 15
    assert found.why == "Finer is more likely inside. At 15: hardly ever."
    assert f"Never pulled at {setting}." in found.note


COUNTS = "The first shot after a change is left out: pull it again, this one counts."


def test_after_a_left_out_shot_it_is_told_to_pull_again_and_no_longer_never_pulled(safe: Any) -> None:
    safe.pull("18", "14")
    safe.pull("15", "19")
    setting = pages_next.next_try(dial_in(safe)).head.split()[2].rstrip(":")
    safe.pull(setting, "25", spoilt=None)  # moved, and nobody said that it counts
    found = pages_next.next_try(dial_in(safe))
    assert found.head.startswith(f"Grinder at {setting}")
    assert found.note.startswith(COUNTS)
    assert "Pour the first shot away" not in found.note
    pulled = {row.setting: row.pulled for row in pages_next.chances(dial_in(safe))}
    assert pulled[setting] == "once, left out"
    safe.pull(setting, "25")
    assert {row.setting: row.pulled for row in pages_next.chances(dial_in(safe))}[setting] == "once"


def test_a_left_out_shot_before_any_that_counts_asks_for_it_again(safe: Any) -> None:
    safe.pull("12", "27", spoilt=True, why_spoilt="first after a change")
    found = pages_next.next_try(dial_in(safe))
    assert (found.head, found.why, found.note) == ("Grinder at 12", COUNTS, "")


def test_without_a_scale_a_left_out_shot_is_pulled_again_too(safe: Any) -> None:
    ModelNotes.objects.update(grind_scale="", has_grinder=False)
    safe.pull("eleven", "15")
    safe.pull("ten", "22", spoilt=None)
    found = pages_next.next_try(dial_in(safe))
    assert (found.head, found.why) == ("Leave the grinder, pull it again", COUNTS)


def test_a_first_shot_after_a_change_is_called_left_out_wherever_it_is_named(safe: Any) -> None:
    safe.pull("18", "14")
    safe.pull("15", "19", spoilt=None)
    safe.pull("15", "13", spoilt=True, why_spoilt="sprayed")
    known = dial_in(safe)
    assert [row.words for row in pages_shots.rows(known)[:2]] == ["spoilt, sprayed", "left out, first after a change"]
    chart = pages_shots.chart(known)
    assert chart is not None
    assert [spot.text.words for spot in chart["wide"].spoilt] == ["left out", "spoilt"]
    assert "15 gave 19 s (left out)" in chart["wide"].title
    assert [words.rsplit(", ", 1)[1] for _, words in pages_recipe.to_press(known)[:2]] == ["spoilt", "left out"]
    said = recipe_rule.refusals(known, [row.pk for row in known.rows])
    assert "Shot 2 was left out, first after a change. Shot 3 was spoilt." in said


def test_two_shots_that_agree_leave_nothing_else_to_try(safe: Any) -> None:
    safe.pull("12", "25")
    assert pages_next.next_try(dial_in(safe)).wants_shot
    safe.pull("12", "25")
    found = pages_next.next_try(dial_in(safe))
    assert (found.head, found.odds, found.why, found.note) == ("Two shots agree: make them the recipe", "", "", "")
    recipe(safe)
    assert pages_next.next_try(dial_in(safe), proved=safe.facts.recipe_holds()).head.endswith("the recipe stands")


def test_shots_dosed_off_the_reference_are_named(safe: Any) -> None:
    safe.pull("15", "19", dose="18")
    assert "off" not in pages_next.next_try(dial_in(safe)).note
    safe.pull("14", "22", dose="18.1")
    safe.pull("14", "60", dose="25", spoilt=True, why_spoilt="wrong dose")
    note = pages_next.next_try(dial_in(safe)).note
    assert note.endswith("Shot 2 was dosed off 17.5\u00a0g: the seconds here are for 17.5\u00a0g.")


def test_shots_that_contradict_each_other_come_before_a_likelier_setting(safe: Any) -> None:
    for setting, seconds in (("13", "17.1"), ("14", "20.3"), ("8", "26.9"), ("12", "21.8")):
        safe.pull(setting, seconds)
    found = pages_next.next_try(dial_in(safe))
    assert found.head.startswith("Grinder at 14")
    assert found.why == "The shots contradict each other: pull this one again. Only then 8."


def test_a_finer_setting_that_ran_faster_is_called_a_contradiction(safe: Any) -> None:
    safe.pull("15", "30")
    safe.pull("10", "15")
    assert pages_next.contradiction(dial_in(safe)).startswith("Finer ran faster:")


def test_spoilt_and_two_wall_shots_are_kept_out_of_the_fit(safe: Any) -> None:
    safe.pull("12", "27")
    safe.pull("12", "60", spoilt=True, why_spoilt="first after a change")
    safe.pull("12", "25", basket="Two-wall | ready-ground")
    fit = dial_in(safe).fit()
    assert (len(fit.shots), fit.left_out) == (1, 2)


def test_without_a_scale_it_only_says_which_way_to_turn(safe: Any) -> None:
    ModelNotes.objects.update(grind_scale="", has_grinder=False)
    safe.pull("two notches from fine", "15")
    found = pages_next.next_try(dial_in(safe))
    assert (found.head, found.odds) == ("Grind finer", "The last one ran 15 s to 35 g.")


@pytest.mark.parametrize(
    ("chance", "words"), [("0.02", "hardly ever"), ("0.71", "about 7 in 10"), ("0.99", "nearly always")]
)
def test_chances_are_said_in_tenths(chance: str, words: str) -> None:
    assert pages_next.odds_words(Decimal(chance)) == f"{words} inside the target time"


def test_the_table_gives_ratio_flow_and_both_verdicts(safe: Any) -> None:
    safe.pull("12", "22", out="28")  # 22 s at 28 g would be 27.5 s at 35 g
    (row,) = pages_shots.rows(dial_in(safe))
    assert (row.ratio, row.flow, row.words, row.at_target) == ("1 : 1.6", "1.27", "fast", "inside, 27.5\u00a0s")


def test_a_choked_shot_is_kept_and_teaches_no_time(safe: Any) -> None:
    safe.pull("3", "40", out="0")
    (row,) = pages_shots.rows(dial_in(safe))
    assert (row.words, row.ratio, row.flow) == ("choked", "", "")
    assert dial_in(safe).fit().from_prior


# --- the recipe ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("first", "second", "agree"),
    [
        ({"time_s": "27.0"}, {"time_s": "30.0"}, True),  # within 3.0 s: World Barista Championship
        ({"time_s": "27.0"}, {"time_s": "30.1"}, False),
        ({"time_s": "24"}, {"time_s": "24"}, True),
        ({"time_s": "23.9"}, {"time_s": "24"}, False),
        ({"time_s": "31"}, {"time_s": "31"}, True),
        ({"time_s": "31"}, {"time_s": "31.1"}, False),
        ({"time_s": "27"}, {"time_s": "27", "setting": "11"}, False),
        ({"time_s": "27"}, {"time_s": "27", "out": "38.6"}, False),  # a tenth above 35 g is 38.5
        ({"time_s": "27"}, {"time_s": "27", "out": "38.5"}, True),
        ({"time_s": "27"}, {"time_s": "27", "dose": "18.1"}, False),  # more than half a gram apart
        ({"time_s": "27"}, {"time_s": "27", "spoilt": True, "why_spoilt": "sprayed"}, False),
        ({"time_s": "27"}, {"time_s": "27", "basket": "Two-wall | ready-ground"}, False),
    ],
)
def test_a_recipe_wants_two_shots_in_a_row_that_agree(safe: Any, first: Any, second: Any, agree: bool) -> None:
    for shot in (first, second):
        safe.pull(**{"setting": "12", **shot})
    if agree:
        recipe(safe)
        assert Recipe.objects.get().second_shot.number == 2
    else:
        with pytest.raises(Refused, match="No two shots in a row agree yet"):
            recipe(safe)
        assert not Recipe.objects.exists()
        assert pages_recipe.why_not(dial_in(safe)) != []


def test_the_recipe_freezes_what_the_last_of_the_two_shots_measured(safe: Any) -> None:
    safe.pull("12", "27.5", dose="17.4", out="34.5")
    safe.pull("12", "28", dose="17.6", out="35.5")
    recipe(safe, lock_in="half past 6")
    row = Recipe.objects.get()
    assert (row.grind_setting, row.dose_g, row.yield_g) == ("12", Decimal("17.6"), Decimal("35.5"))
    assert (row.first_time_s, row.time_s, row.time_low_s, row.time_high_s) == (Decimal("27.5"), 28, 24, 31)
    assert (row.yield_low_g, row.yield_high_g, row.lock_in) == (Decimal("31.5"), Decimal("38.5"), "half past 6")


def test_a_recipe_is_offered_what_this_unit_measured_and_nothing_of_its_model(safe: Any) -> None:
    ModelNotes.objects.update(
        tamp_cue="4 mm under the rim",
        warm_up_low_min=10,
        warm_up_high_min=15,
        has_gauge=True,
        gauge_from="10",
        gauge_to="2",
    )
    safe.pull("12", "27")
    safe.pull("12", "28")
    offered = pages_recipe.proposed(_fresh(safe), safe.facts)
    words = ("tamp_cue", "gauge_zone", "ready_low_min", "ready_high_min")
    assert [offered[name] for name in words] == ["", "", None, None]
    assert set(pages_recipe.notes_say(_fresh(safe))) == {"tamp_cue", "gauge_zone", "ready_low_min"}

    safe.read("ready", "13")
    offered = pages_recipe.proposed(_fresh(safe), safe.facts)
    assert [offered[name] for name in words] == ["", "", Decimal(13), None]


def test_an_earlier_recipe_of_this_unit_is_offered_again(safe: Any) -> None:
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    recipe(safe, tamp_cue="3 mm under the rim", ready_high_min=Decimal(16))
    for seconds in ("26", "27"):
        safe.pull("12", seconds)
    offered = pages_recipe.proposed(_fresh(safe), safe.facts)
    assert (offered["tamp_cue"], offered["ready_high_min"]) == ("3 mm under the rim", Decimal(16))


def _fresh(bench: Any) -> Job:
    return Job.objects.select_related("machine__notes").get(pk=bench.job.pk)


def test_words_typed_cannot_change_what_was_measured(safe: Any) -> None:
    safe.pull("12", "27")
    safe.pull("12", "28")
    recipe(safe, grind_setting="3", dose_g=Decimal(99), time_s=Decimal(1))
    row = Recipe.objects.get()
    assert (row.grind_setting, row.dose_g, row.time_s) == ("12", Decimal("17.5"), 28)


def test_a_setting_never_pulled_cannot_become_the_recipe(safe: Any) -> None:
    safe.pull("18", "14")
    safe.pull("15", "19")
    assert "Never pulled" in pages_next.next_try(dial_in(safe)).note
    with pytest.raises(Refused, match="No two shots in a row agree yet"):
        recipe(safe)
    assert "shots" in safe.missing


def test_a_thermoblocks_two_wall_basket_proves_no_recipe(safe: Any) -> None:
    ModelNotes.objects.update(kind="THERMOBLOCK")
    for seconds in ("27", "27.5"):
        safe.pull("12", seconds, basket="Two-wall | ready-ground")
    with pytest.raises(Refused, match="No two shots in a row agree yet"):
        recipe(safe)


def test_our_grinders_number_is_never_kept_in_a_recipe(safe: Any) -> None:
    ModelNotes.objects.update(has_grinder=False, grind_scale="")
    safe.pull("eleven", "27")
    safe.pull("eleven", "28")
    recipe(safe)
    row = Recipe.objects.get()
    assert (row.built_in_grinder, row.grind_setting) == (False, "")


def test_two_settings_in_words_are_two_settings(safe: Any) -> None:
    ModelNotes.objects.update(has_grinder=False, grind_scale="")
    safe.pull("eleven", "27")
    safe.pull("twelve", "27")
    with pytest.raises(Refused, match="No two shots"):
        recipe(safe)


def test_a_shot_taken_out_takes_the_recipe_with_it(safe: Any) -> None:
    safe.pull("12", "27")
    entry = safe.pull("12", "28")
    recipe(safe)
    assert safe.facts.recipe_holds()
    UNDO["add_shot"](safe.act(at=safe.now()), entry)
    assert not safe.facts.recipe_holds()
    assert "recipe" in safe.missing


def test_a_later_shot_outside_at_that_setting_undoes_the_recipe_one_elsewhere_does_not(safe: Any) -> None:
    safe.pull("12", "27")
    safe.pull("12", "28")
    recipe(safe)
    safe.pull("10", "38")
    assert safe.facts.recipe_holds()
    safe.pull("12", "20")
    assert not safe.facts.recipe_holds()


def test_words_of_a_recipe_are_changed_by_version(safe: Any) -> None:
    safe.pull("12", "27")
    safe.pull("12", "28")
    recipe(safe)
    row = Recipe.objects.get()
    recipes.change_recipe(safe.act(), row, 1, {"tamp_cue": "4 mm under the rim"})
    with pytest.raises(Stale):
        recipes.change_recipe(safe.act(), row, 1, {"tamp_cue": "3 mm under the rim"})
    row.refresh_from_db()
    assert row.tamp_cue == "4 mm under the rim"


def test_a_recipe_taken_back_lets_the_earlier_one_stand(safe: Any) -> None:
    safe.pull("12", "27")
    safe.pull("12", "28")
    recipe(safe)
    safe.pull("12", "29")
    entry = recipe(safe)
    UNDO["set_recipe"](safe.act(at=safe.now()), entry)
    assert safe.facts.recipe.second_shot.number == 2
    with pytest.raises(Refused, match="taken back already"):
        UNDO["set_recipe"](safe.act(at=safe.now()), entry)


def test_facts_with_thirty_shots_take_the_queries_of_one(safe: Any, django_assert_num_queries: Any) -> None:
    safe.pull("12", "27")
    with django_assert_num_queries(14):
        stations.PROVE.facts([safe.job.pk])
    for _ in range(29):
        safe.pull("12", "27")
    with django_assert_num_queries(14):
        assert len(safe.facts.dial_in.rows) == 30
