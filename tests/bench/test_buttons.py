"""Runs of taught buttons: what is delivered, how evenly, and when that holds no more."""

import re
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from workshop.bench import pages, pages_dose
from workshop.bench.models import ButtonTrial
from workshop.bench.services import dosing, recipe
from workshop.bench.services.dosing import Delivered
from workshop.bench.undo import UNDO
from workshop.core.acts import Odd, Refused
from workshop.core.models import Control, Job, JournalEntry, ModelNotes


@pytest.fixture
def safe(bench: Any) -> Any:
    bench.make_safe()
    notes = bench.job.machine.notes
    Control.objects.create(notes=notes, use="COFFEE", label="two cups button")
    Control.objects.create(notes=notes, use="STEAM", label="steam tap")
    ModelNotes.objects.update(timed_button=True, teach_button="Hold it until it blinks")
    bench.job = Job.objects.select_related("machine__notes").get(pk=bench.job.pk)
    return bench


def run(bench: Any, grams: str, **more: Any) -> JournalEntry:
    kind = more.pop("kind", "TIMED")
    with_ = more.pop("runs_with", "COFFEE")
    delivered = Delivered(
        "two cups button", kind, with_, Decimal(grams), **{"setting": "12" if with_ == "COFFEE" else "", **more}
    )
    return dosing.add_button_run(bench.act(at=bench.now()), bench.job, delivered)


def series(bench: Any) -> list[Any]:
    found = pages_dose.weighings(bench.job, bench.facts)
    assert found is not None
    return found.series


def proved(bench: Any) -> list[str]:
    return [button.words for button in pages.for_sheet(bench.job).buttons]


def a_recipe(bench: Any, setting: str = "12") -> None:
    bench.pull(setting, "27")
    bench.pull(setting, "28")
    recipe.set_recipe(bench.act(at=bench.now()), bench.job, {"portions": 1, "dose_tolerance_g": Decimal("0.5")})


def test_runs_in_a_row_say_mean_spread_and_what_is_published(safe: Any) -> None:
    for grams in ("34", "35", "36"):
        run(safe, grams)
    (row,) = pages_dose.series_rows(series(safe))
    assert row.head == "two cups button, timed, coffee, grinder at 12: 35\u00a0g"
    assert row.facts == ["3 runs 2\u00a0g apart, SD 1\u00a0g. Published: within 1 to 2\u00a0g.", "It holds."]


def test_one_run_says_nothing_of_evenness_and_does_not_print(safe: Any) -> None:
    a_recipe(safe)
    run(safe, "35")
    (row,) = pages_dose.series_rows(series(safe))
    assert row.facts[0] == "One run: weigh another to see how evenly it pours."
    assert proved(safe) == []


def test_the_sheet_prints_what_was_delivered_not_what_was_aimed_at(safe: Any) -> None:
    a_recipe(safe)  # aimed at 35 g
    for grams in ("37.6", "38", "38.4"):
        run(safe, grams)
    assert series(safe)[0].result.verdict == "over"
    assert proved(safe) == ["38\u00a0g, 37.6 to 38.4, timed"]


@pytest.mark.parametrize("mover", ["shot", "dose", "button"])
def test_a_timed_button_is_void_once_the_grinder_was_moved(safe: Any, mover: str) -> None:
    a_recipe(safe)
    run(safe, "35")
    run(safe, "35.5")
    assert len(proved(safe)) == 1
    if mover == "shot":
        safe.pull("11", "30")
    elif mover == "dose":
        weighed = dosing.Weighed("4", Decimal(7), "11")
        dosing.add_dose(safe.act(at=safe.now()), safe.job, weighed)
    else:
        run(safe, "31", setting="11")
    assert series(safe)[0].void == "The grinder was moved to 11 since: weigh it again."
    assert proved(safe) == []


def test_a_metered_button_and_water_alone_do_not_ask_where_the_grinder_stands(safe: Any) -> None:
    a_recipe(safe)
    for grams in ("35", "36"):
        run(safe, grams, kind="METERED")
        run(safe, grams, runs_with="WATER")
    safe.pull("11", "30")
    assert [each.void for each in series(safe)] == ["", ""]
    assert proved(safe) == ["35.5\u00a0g, 35 to 36, metered"]


def test_a_timed_button_at_another_grind_than_the_recipes_does_not_print(safe: Any) -> None:
    a_recipe(safe)
    run(safe, "31", setting="11")
    run(safe, "31", setting="11")
    assert series(safe)[0].void == ""
    assert proved(safe) == []


def test_a_button_taught_anew_begins_again(safe: Any) -> None:
    run(safe, "30")
    run(safe, "31")
    run(safe, "35", taught_anew=True)
    assert [(len(each.runs), each.void) for each in series(safe)] == [(2, "It was taught anew since."), (1, "")]


def test_an_opened_grinder_voids_a_timed_button(safe: Any) -> None:
    run(safe, "35")
    act = safe.act(at=safe.now())
    dosing.open_grinder(act, safe.job, why="burrs out", inner_before="6", inner_after="6")
    assert series(safe)[0].void == "The grinder was opened since: weigh it again."


def test_a_timed_button_taught_on_our_grinder_says_nothing_to_the_buyer(safe: Any) -> None:
    ModelNotes.objects.update(has_grinder=False, grind_scale="")
    safe.job = Job.objects.select_related("machine__notes").get(pk=safe.job.pk)
    a_recipe(safe, "eleven")
    for grams in ("35", "36"):
        run(safe, grams, setting="eleven")
    assert proved(safe) == []
    for grams in ("35", "36"):
        run(safe, grams, setting="eleven", kind="METERED")
    assert proved(safe) == ["35.5\u00a0g, 35 to 36, metered"]


def test_coffee_wants_the_grinders_setting_and_hardly_a_coffee_is_asked_about(safe: Any) -> None:
    with pytest.raises(Refused, match="where the grinder stood"):
        run(safe, "35", setting="")
    with pytest.raises(Odd, match="hardly a coffee"):
        run(safe, "350")
    run(safe, "350", sure="350")
    assert ButtonTrial.objects.count() == 1


def test_a_run_is_taken_back(safe: Any) -> None:
    entry = run(safe, "35")
    UNDO["add_button_run"](safe.act(at=safe.now()), entry)
    assert series(safe) == []


# --- pages -----------------------------------------------------------------------------------------------


def test_the_page_offers_the_models_buttons_how_to_teach_and_no_grams(
    client_in: Client, kettle: str, safe: Any
) -> None:
    html = client_in.get(f"/machines/{kettle}/buttons/").content.decode()
    assert "Hold it until it blinks" in html
    assert "two cups button" in html
    assert "steam tap" not in html
    box = re.search(r'<input[^>]*name="delivered_g"[^>]*>', html)
    assert box is not None
    assert "value=" not in box.group()


def test_a_run_is_recorded_carried_over_and_taken_out(client_in: Client, kettle: str, safe: Any) -> None:
    typed = {
        "button": "two cups button", "kind": "METERED", "runs_with": "COFFEE", "delivered_g": "36,4", "setting": "12",
    }  # fmt: skip
    assert client_in.post(f"/machines/{kettle}/buttons/add/", typed).status_code == 302
    row = ButtonTrial.objects.get()
    assert row.delivered_g == Decimal("36.4")
    html = client_in.get(f"/machines/{kettle}/buttons/").content.decode()
    assert re.search(r'<option value="METERED" selected', html)
    assert client_in.post(f"/machines/{kettle}/buttons/{row.pk}/strike/").status_code == 302
    assert client_in.post(f"/machines/{kettle}/buttons/add/", {**typed, "button": "steam tap"}).status_code == 422
    assert ButtonTrial.objects.count() == 2


def test_a_lever_is_no_button_that_can_be_timed(client_in: Client, kettle: str, safe: Any) -> None:
    Control.objects.create(notes=safe.job.machine.notes, use="COFFEE", label="lever down")
    Control.objects.create(notes=safe.job.machine.notes, use="HOT_WATER", label="Left tap")
    assert pages_dose.button_names(safe.job) == ["two cups button"]
    typed = {"button": "lever down", "delivered_g": "36", "kind": "TIMED", "runs_with": "COFFEE", "setting": "12"}
    assert client_in.post(f"/machines/{kettle}/buttons/add/", typed).status_code == 422
    ModelNotes.objects.update(timed_button=None)  # none, or a lever
    html = client_in.get(f"/machines/{kettle}/buttons/").content.decode()
    assert "list no button that stops by itself" in html


def test_a_model_without_buttons_says_where_to_add_them(client_in: Client, kettle: str, bench: Any) -> None:
    html = client_in.get(f"/machines/{kettle}/buttons/").content.decode()
    assert "The model notes list no button that stops by itself." in html
    assert 'name="delivered_g"' not in html


def test_thirty_runs_take_the_queries_of_one(client_in: Client, kettle: str, safe: Any) -> None:
    counts = []
    for more in (1, 29):
        for _ in range(more):
            run(safe, "35")
        client_in.get(f"/machines/{kettle}/buttons/")
        with CaptureQueriesContext(connection) as asked:
            client_in.get(f"/machines/{kettle}/buttons/")
        counts.append(len(asked))
    assert counts[0] == counts[1]
