"""The recipe: shots pressed, why they are refused, what is measured and never typed, and what the sheet prints."""

import re
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from handover import compose
from tests.bench.test_dosing import weigh
from workshop.bench import pages, pages_dose, pages_recipe
from workshop.bench.models import Recipe, Shot
from workshop.bench.services import recipe as recipes
from workshop.bench.services import shots
from workshop.core.acts import Refused
from workshop.core.models import Job, ModelNotes

TYPED = {"portions": "1", "dose_tolerance_g": "0.5", "timed_from": "PUMP_ON"}


@pytest.fixture
def safe(bench: Any) -> Any:
    bench.make_safe()
    return bench


def chosen(bench: Any, *numbers: int, **words: Any) -> Recipe:
    """Press these shots and set the recipe."""
    pks = list(Shot.objects.filter(job=bench.job, number__in=numbers, corrects=None).values_list("pk", flat=True))
    values = {"portions": 1, "dose_tolerance_g": Decimal("0.5"), **words}
    recipes.set_recipe(bench.act(at=bench.now()), bench.job, values, shots=pks)
    return Recipe.objects.latest("pk")


def refused(bench: Any, *numbers: int) -> tuple[str, ...]:
    with pytest.raises(Refused) as why:
        chosen(bench, *numbers)
    assert why.value.field == "shots"
    assert not Recipe.objects.exists()
    return why.value.reasons


def fresh(bench: Any) -> Job:
    return Job.objects.select_related("machine__notes").get(pk=bench.job.pk)


# --- pressing shots --------------------------------------------------------------------------------------


def test_three_shots_in_a_row_carry_it_and_the_last_one_is_frozen(safe: Any) -> None:
    for seconds in ("27", "28", "29.5"):
        safe.pull("12", seconds)
    row = chosen(safe, 1, 2, 3)
    assert (row.first_shot.number, row.second_shot.number, row.time_s) == (1, 3, Decimal("29.5"))
    assert [shot.number for shot in safe.facts.dial_in.run(row)] == [1, 2, 3]
    found = [(r.what, r.found) for r in pages.for_sheet(safe.job).readings if "coffees" in r.what]
    assert found == [("3 coffees in a row", "27 s, 28 s and 29.5 s")]


def test_the_seconds_of_a_recipe_are_those_of_both_shots(client_in: Client, kettle: str, safe: Any) -> None:
    for seconds in ("28.4", "27", "27", "27"):
        safe.pull("12", seconds)
    assert str(chosen(safe, 1, 2)) == "17.5 g in, 35 g out, 28.4 and 27 s"
    page = re.sub(r"\s+|&nbsp;", " ", client_in.get(f"/machines/{kettle}/shots/").content.decode())
    assert "<dd>28.4 and 27 s</dd>" in page
    assert str(chosen(safe, 3, 4)) == "17.5 g in, 35 g out, 27 s"


def test_an_earlier_run_may_be_pressed_while_nothing_undid_it(safe: Any) -> None:
    for setting, seconds in (("12", "27"), ("12", "28"), ("11", "30"), ("11", "30.5")):
        safe.pull(setting, seconds)
    assert chosen(safe, 1, 2).grind_setting == "12"
    assert safe.facts.recipe_holds()


@pytest.mark.parametrize(
    ("second", "why"),
    [
        ({"time_s": "33"}, "Shot 2 ran 33\u00a0s, outside 24 to 31\u00a0s."),
        ({"time_s": "30.1"}, "Shots 1 and 2 ran 3.1\u00a0s apart, more than 3\u00a0s."),
        ({"out": "40"}, "Shot 2 weighed out 40\u00a0g, outside 31.5 to 38.5\u00a0g."),
        ({"setting": "11"}, "Shot 2 was pulled at 11, shot 1 at 12."),
        ({"dose": "18.2"}, "Shots 1 and 2 were dosed 0.7\u00a0g apart, more than 0.5\u00a0g."),
        ({"spoilt": True, "why_spoilt": "sprayed"}, "Shot 2 was spoilt."),
        ({"basket": "Two-wall | ready-ground"}, "Shot 2 came from a two-wall basket: its time says nothing."),
        ({"out": "0"}, "Shot 2 choked."),
    ],
)
def test_a_refusal_names_the_shot_and_what_it_breaks(safe: Any, second: dict[str, Any], why: str) -> None:
    safe.pull("12", "27")
    safe.pull(**{"setting": "12", "time_s": "27", **second})
    assert why in refused(safe, 1, 2)


def test_one_shot_a_gap_and_a_later_miss_are_refused(safe: Any) -> None:
    for seconds in ("27", "25", "27"):
        safe.pull("12", seconds)
    assert refused(safe, 1) == ("Choose two shots in a row, or more.",)
    assert refused(safe, 1, 3) == ("Shot 2 lies between and was not chosen.",)
    safe.pull("12", "20")
    assert refused(safe, 1, 2, 3) == ("Shot 4, pulled later at that setting, ran 20\u00a0s: outside 24 to 31\u00a0s.",)


def test_a_shot_taken_out_meanwhile_is_said_to_be(safe: Any) -> None:
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    shots.strike_shot(safe.act(at=safe.now()), Shot.objects.get(number=2))
    assert refused(safe, 1, 2) == ("A shot you chose was taken out since. Choose again.",)


# --- words and readings ----------------------------------------------------------------------------------


def test_what_prove_measured_is_taken_as_measured_whatever_is_typed(safe: Any) -> None:
    safe.read("ready", "13")
    safe.read("steam_ready", "38")
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    row = chosen(safe, 1, 2, ready_low_min=Decimal(99), steam_ready_s=Decimal(1))
    assert (row.ready_low_min, row.ready_measured, row.steam_ready_s) == (13, True, 38)


def test_the_dose_dial_is_offered_from_the_doses_weighed(safe: Any) -> None:
    ModelNotes.objects.update(dose_scale="seconds")
    safe.job = fresh(safe)
    weigh(safe, "4", "7")
    weigh(safe, "4.6", "17.3", portions=2)
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    offered = pages_recipe.proposed(safe.job, safe.facts, pages_dose.weighings(safe.job, safe.facts))
    assert (offered["dose_dial"], offered["portions"], offered["left_set_at"]) == ("4.6 s", 2, "12")


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([("10 o'clock", "2 o'clock", None), ("10 o'clock", "2 o'clock", None)], "10 o'clock to 2 o'clock"),
        ([("10 o'clock", "", None)], "10 o'clock"),
        ([("10 o'clock", "2 o'clock", None), ("11 o'clock", "2 o'clock", None)], ""),
        ([("", "", Decimal(9)), ("", "", Decimal("9.5"))], "9 to 9.5\u00a0bar"),
        ([("", "", Decimal(9)), ("", "", Decimal(9))], "9\u00a0bar"),
        ([("", "", None)], ""),
    ],
)
def test_the_gauge_is_offered_as_it_stood_in_the_shots(rows: list[Any], words: str) -> None:
    pulled: Any = [SimpleNamespace(gauge_from=low, gauge_to=high, gauge_bar=bar) for low, high, bar in rows]
    assert pages_recipe.gauge_zone(pulled) == words


@pytest.mark.parametrize(
    ("scale", "typed", "kept"),
    [
        ("clock", "2:30", "half past 2"),
        ("seconds", "4,6", "4.6 s"),
        ("", "4,6 s", "4.6 s"),
        ("", "half past two", "half past 2"),
        ("clock", "27 o'clock", ""),
        ("seconds", "banana", ""),
        ("", "27 o'clock", ""),
    ],
)
def test_the_dose_is_read_on_its_scale_or_refused_beside_its_box(safe: Any, scale: str, typed: str, kept: str) -> None:
    ModelNotes.objects.update(dose_scale=scale)
    safe.job = fresh(safe)
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    if kept:
        assert chosen(safe, 1, 2, dose_dial=typed).dose_dial == kept
        return
    with pytest.raises(Refused) as why:
        chosen(safe, 1, 2, dose_dial=typed)
    assert why.value.field == "dose_dial"
    assert not Recipe.objects.exists()


@pytest.mark.parametrize(
    ("notes_from", "typed", "kept"),
    [
        ("10 o'clock", "10 to 2 o'clock", "10 o'clock to 2 o'clock"),
        ("10 o'clock", "quarter to 3 to 4", "quarter to 3 to 4 o'clock"),
        ("10 o'clock", "11 o'clock", "11 o'clock"),
        ("", "9 to 9,5 bar", "9 to 9.5\u00a0bar"),
        ("", "9", "9\u00a0bar"),
        ("", "half past 10 to half past 1", "half past 10 to half past 1"),
        ("10 o'clock", "banana", ""),
        ("", "banana", ""),
        ("", "92", ""),
    ],
)
def test_the_gauge_is_read_on_its_face_or_refused_beside_its_box(
    safe: Any, notes_from: str, typed: str, kept: str
) -> None:
    ModelNotes.objects.update(has_gauge=True, gauge_from=notes_from, gauge_to="2 o'clock" if notes_from else "")
    safe.job = fresh(safe)
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    if kept:
        assert chosen(safe, 1, 2, gauge_zone=typed).gauge_zone == kept
        return
    with pytest.raises(Refused, match="as on a clock face") as why:
        chosen(safe, 1, 2, gauge_zone=typed)
    assert why.value.field == "gauge_zone"


def test_words_put_right_are_read_too_and_old_ones_left_alone_do_not_stand_in_the_way(safe: Any) -> None:
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    row = chosen(safe, 1, 2)
    Recipe.objects.update(dose_dial="by feel")
    row.refresh_from_db()
    recipes.change_recipe(safe.act(at=safe.now()), row, row.version, {"dose_dial": "by feel", "tamp_cue": "level"})
    row.refresh_from_db()
    assert (row.dose_dial, row.tamp_cue) == ("by feel", "level")
    with pytest.raises(Refused) as why:
        recipes.change_recipe(safe.act(at=safe.now()), row, row.version, {"dose_dial": "by hand"})
    assert why.value.field == "dose_dial"


def test_a_dose_weighed_after_the_recipe_was_set_is_said_beside_its_box(
    client_in: Client, kettle: str, safe: Any
) -> None:
    ModelNotes.objects.update(dose_scale="seconds")
    safe.job = fresh(safe)
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    chosen(safe, 1, 2)
    assert "Weighed last" not in html_of(client_in, kettle)
    weigh(safe, "4.6", "16.1", portions=2)
    assert "Weighed last: 2 times 4.6 s gave 16.1 g at grinder 12." in html_of(client_in, kettle)


def on_another_grinder(bench: Any) -> None:
    ModelNotes.objects.update(has_grinder=False, grind_scale="")
    bench.job = fresh(bench)
    for seconds in ("27", "28"):
        bench.pull("eleven", seconds)


def test_on_our_grinder_no_number_is_kept_on_the_buyers_it_is(safe: Any) -> None:
    on_another_grinder(safe)
    ours = chosen(safe, 1, 2, grinder="OURS")
    theirs = chosen(safe, 1, 2, grinder="BUYERS")
    assert (ours.grinder, ours.grind_setting) == ("OURS", "")
    assert (theirs.grinder, theirs.grind_setting) == ("BUYERS", "eleven")


# --- the sheet -------------------------------------------------------------------------------------------


def card(bench: Any) -> tuple[Any, dict[str, str], str]:
    """The settings card of today's sheet, its rows, and its six steps in one."""
    sheet = compose.sheet(fresh(bench), number=1, issued_on=bench.now().date())
    assert sheet.settings is not None
    steps = " ".join(run.words for step in sheet.steps for run in step.runs)
    return sheet.settings, {row.label: row.words for row in sheet.settings.rows}, steps


def test_the_sheet_prints_selector_portions_and_where_the_grinder_was_left(safe: Any) -> None:
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    chosen(safe, 1, 2, selector="By hand", portions=2, left_set_at="14", lock_in="half past 6", tamp_cue="level")
    _, rows, steps = card(safe)
    assert rows["Selector"] == "by hand"
    assert rows["Left set at"] == "14"
    assert "2 times, 8.8\u00a0g each" in steps
    assert "level" in steps


def test_nothing_optional_leaves_no_row_behind(safe: Any) -> None:
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    chosen(safe, 1, 2)
    settings, rows, steps = card(safe)
    assert rows == {}
    assert settings.dials == ()
    assert "timer together" in steps


def test_seconds_counted_from_the_first_drip_are_said_to_be(safe: Any) -> None:
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    chosen(safe, 1, 2, timed_from="FIRST_DRIP")
    settings, _, steps = card(safe)
    assert settings.figures[2].words == "from first drip"
    assert "the timer at the first drip" in steps


def test_our_grinders_number_never_reaches_the_sheet(safe: Any) -> None:
    on_another_grinder(safe)
    chosen(safe, 1, 2, left_set_at="eleven")
    sheet = compose.sheet(fresh(safe), number=1, issued_on=safe.now().date())
    assert "eleven" not in sheet.to_json()
    assert sheet.settings is not None
    assert sheet.settings.grinder is not None
    assert not sheet.settings.grinder.built_in


def test_the_buyers_own_grinder_prints_with_its_number(safe: Any) -> None:
    on_another_grinder(safe)
    chosen(safe, 1, 2, grinder="BUYERS")
    settings, rows, _ = card(safe)
    assert settings.grinder is None
    assert rows["Grinder"] == "on yours, at eleven"


# --- the page --------------------------------------------------------------------------------------------


def html_of(client: Client, kettle: str, more: str = "") -> str:
    return re.sub(r"\s+", " ", client.get(f"/machines/{kettle}/recipe/{more}").content.decode())


def test_the_pair_that_agrees_comes_pressed_and_other_shots_can_be(client_in: Client, kettle: str, safe: Any) -> None:
    for setting, seconds in (("15", "19"), ("12", "27"), ("12", "28")):
        safe.pull(setting, seconds)
    html = html_of(client_in, kettle)
    pressed = re.findall(r'name="shots" value="(\d+)"[^>]*checked', html)
    pair = [str(shot.pk) for shot in Shot.objects.filter(number__in=(2, 3)).order_by("-number")]
    assert pressed == pair
    answer = client_in.post(f"/machines/{kettle}/recipe/", {**TYPED, "shots": pair})
    assert answer.status_code == 302
    html = html_of(client_in, kettle)
    assert "From shots 2 and 3: 27 and 28" in html
    assert 'name="shots"' not in html
    assert 'name="shots"' in html_of(client_in, kettle, "?again=1")


def test_a_refused_choice_stays_pressed_with_its_sentence(client_in: Client, kettle: str, safe: Any) -> None:
    for setting, seconds in (("15", "19"), ("12", "27"), ("12", "28")):
        safe.pull(setting, seconds)
    two = list(Shot.objects.filter(number__in=(1, 2)).values_list("pk", flat=True))
    answer = client_in.post(f"/machines/{kettle}/recipe/", {**TYPED, "shots": two, "tamp_cue": "level"})
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "Shot 2 was pulled at 12, shot 1 at 15." in html
    assert 'value="level"' in html
    assert len(re.findall(r'name="shots" value="\d+"[^>]*checked', html)) == 2


def test_no_shot_pressed_and_a_forged_one_are_refused(client_in: Client, kettle: str, safe: Any) -> None:
    assert "No shot pulled yet. A recipe rests on two in a row." in html_of(client_in, kettle)
    safe.pull("12", "27")
    safe.pull("12", "28")
    assert client_in.post(f"/machines/{kettle}/recipe/", TYPED).status_code == 422
    assert client_in.post(f"/machines/{kettle}/recipe/", {**TYPED, "shots": ["999"]}).status_code == 422
    assert not Recipe.objects.exists()


def test_measured_values_are_shown_and_have_no_box(client_in: Client, kettle: str, safe: Any) -> None:
    safe.read("ready", "13")
    safe.pull("12", "27")
    html = html_of(client_in, kettle)
    assert re.search(r"Ready after</dt> <dd>13 min", html)
    assert 'name="ready_low_min"' not in html
    assert 'name="steam_ready_s"' in html


def test_a_warm_up_that_ends_before_what_was_measured_is_refused(client_in: Client, kettle: str, safe: Any) -> None:
    safe.read("ready", "13")
    for seconds in ("27", "28"):
        safe.pull("12", seconds)
    both = list(Shot.objects.values_list("pk", flat=True))
    answer = client_in.post(f"/machines/{kettle}/recipe/", {**TYPED, "shots": both, "ready_high_min": "10"})
    assert answer.status_code == 422
    assert "ends before it begins at 13" in answer.content.decode()


def test_a_setting_never_pulled_has_no_way_to_become_the_recipe(client_in: Client, kettle: str, safe: Any) -> None:
    safe.pull("18", "14")
    safe.pull("15", "19")
    html = client_in.get(f"/machines/{kettle}/shots/").content.decode()
    assert "Never pulled at" in html
    assert "Make them the recipe" not in html
    assert 'value="12"' not in html_of(client_in, kettle)


def test_thirty_shots_to_press_take_the_queries_of_two(client_in: Client, kettle: str, safe: Any) -> None:
    counts = []
    for more in (2, 28):
        for _ in range(more):
            safe.pull("12", "27")
        client_in.get(f"/machines/{kettle}/recipe/")
        with CaptureQueriesContext(connection) as asked:
            client_in.get(f"/machines/{kettle}/recipe/")
        counts.append(len(asked))
    assert counts[0] == counts[1]
