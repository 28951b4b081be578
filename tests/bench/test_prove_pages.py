"""Pages of Prove: what they show, what they refuse, and what stays when they do."""

import re
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from workshop.bench import pages, pages_prove
from workshop.bench.models import Recipe, Shot
from workshop.bench.services import recipe
from workshop.core.models import Instrument, JournalEntry, Reading, Wait


def get(client: Client, kettle: str, path: str) -> tuple[int, str]:
    response = client.get(f"/machines/{kettle}/{path}")
    return response.status_code, re.sub(r"[ \n\t]+", " ", response.content.decode())


def text(html: str) -> str:
    return re.sub(r"[ \n\t]+", " ", re.sub(r"<[^>]+>", " ", html))


def post(client: Client, kettle: str, path: str, **data: Any) -> Any:
    return client.post(f"/machines/{kettle}/{path}", data)


READ_EARTH = "cards/safe-to-power/earth/read/"


def test_the_card_shows_limit_and_how_to_before_typing_and_prefills_nothing(client_in: Any, kettle: str) -> None:
    status, html = get(client_in, kettle, "cards/safe-to-power/?item=earth")
    assert status == 200
    assert "0.129 ohm or less" in html
    assert "Limit, for a 1.5 m cord" in html
    assert "stop item" in html
    assert "0 of 4 done" in html
    box = re.search(r'<input[^>]*name="value"[^>]*>', html)
    assert box is not None
    assert "value=" not in box.group().replace('name="value"', "")


def test_a_reading_is_recorded_and_the_card_goes_on(client_in: Any, kettle: str) -> None:
    response = post(client_in, kettle, READ_EARTH, value="0,09 ohm")
    assert response.url == f"/machines/{kettle}/cards/safe-to-power/"
    assert Reading.objects.get().value == Decimal("0.09")


def test_a_failed_reading_stays_on_the_screen_with_its_fork(client_in: Any, kettle: str) -> None:
    response = post(client_in, kettle, READ_EARTH, value="0.5")
    assert response.url == f"/machines/{kettle}/cards/safe-to-power/?item=earth"
    _, html = get(client_in, kettle, "cards/safe-to-power/?item=earth")
    assert "0.5\u00a0ohm is too high" in html
    assert "Mend it, then measure again" in html
    assert "Stop the unit" in html
    assert 'name="value"' not in html
    _, again = get(client_in, kettle, "cards/safe-to-power/?item=earth&again=1")
    assert 'name="value"' in again


def test_only_a_stop_item_says_do_not_use_another_is_mended_or_left(client_in: Any, kettle: str, bench: Any) -> None:
    bench.make_safe()
    bench.read("pressure", "7.9")
    html = get(client_in, kettle, "cards/water/?item=pressure")[1]
    assert "Out of its limit. Mend it and read again, or leave it and tell the buyer." in html
    assert "Do not use the machine" not in html
    newest = Reading.objects.get(item="pressure").pk
    left = {"reason": "LEFT", "words": "a new pump costs more than it is worth", "version": newest}
    assert post(client_in, kettle, "cards/water/pressure/skip/", **left).status_code == 302
    assert "item_pressure" not in bench.missing
    assert Reading.objects.latest("pk").reason == (
        "out of its limit, left as it is: 7.9\u00a0bar, a new pump costs more than it is worth"
    )
    assert "Nothing failed on this machine" in get(client_in, kettle, "do-not-use/")[1]
    bench.read("leak_hot", answer="bad")
    assert "Do not use the machine" in get(client_in, kettle, "cards/water/?item=leak_hot")[1]


def test_a_reading_is_journalled_as_people_write_it(bench: Any) -> None:
    bench.read("earth", "2.0000")
    bench.make_safe()
    bench.read("brew_water", series=bench.draws("91.50", "92", "93.0000", "92", "92"))
    said = [entry.sentence for entry in JournalEntry.objects.filter(verb="record_reading").order_by("pk")]
    assert said[0] == "Recorded Earth path, plug to metal: 2 ohm"
    assert said[7] == "Recorded Insulation at 500 V: over 99.9 megohm"
    assert said[8] == "Recorded Brewing water, five shots: 91.5 to 93 °C"


def test_the_summary_counts_the_sentences_it_lists(client_in: Any, kettle: str, bench: Any) -> None:
    bench.make_safe()
    response = post(client_in, kettle, "shots/add/", setting="", dose_g="x", yield_g="", time_s="27")
    assert "Three answers to mend" in response.content.decode()


@pytest.mark.parametrize("typed", ["", "abc", "1.2.3", "-1", "9" * 20, "NaN"])
def test_what_is_no_number_is_refused_and_kept(client_in: Any, kettle: str, typed: str) -> None:
    response = post(client_in, kettle, READ_EARTH, value=typed)
    assert response.status_code == 422
    assert "<title>Error: Earth path" in response.content.decode()
    assert f'value="{typed}"' in response.content.decode() or not typed
    assert not Reading.objects.exists()
    assert not JournalEntry.objects.exists()


def test_a_thing_seen_wants_one_of_its_two_buttons(client_in: Any, kettle: str) -> None:
    assert post(client_in, kettle, "cards/safe-to-power/visual/read/", answer="fine").status_code == 422
    assert post(client_in, kettle, "cards/safe-to-power/visual/read/", answer="good").status_code == 302
    assert Reading.objects.get().state == "right, undamaged"


def test_an_item_with_mains_is_refused_with_a_sentence_and_a_link(client_in: Any, kettle: str) -> None:
    _, html = get(client_in, kettle, "cards/water/?item=pressure")
    assert "Not safe to power yet" in html
    assert f'href="/machines/{kettle}/cards/before-lid/"' in html
    assert 'name="value"' not in html
    response = post(client_in, kettle, "cards/water/pressure/read/", value="9.1")
    assert response.status_code == 422
    assert not Reading.objects.exists()


def test_a_failed_stop_stands_on_every_page_that_needs_mains(client_in: Any, kettle: str, bench: Any) -> None:
    bench.make_safe()
    bench.read("plate_volts", answer="bad")
    for path in ("cards/water/?item=pressure", "shots/", "recipe/", "clean/"):
        shown = get(client_in, kettle, path)[1]
        assert "<li>Plate volts for this place failed: wrong for this place. Mend it, then look again.</li>" in shown
        assert f'href="/machines/{kettle}/cards/before-lid/?item=plate_volts"' in shown


def test_with_the_case_open_the_electrical_card_says_to_shut_it_first(client_in: Any, kettle: str, bench: Any) -> None:
    bench.open_case()
    _, html = get(client_in, kettle, "cards/safe-to-power/?item=earth")
    assert "does not count once it is shut" in html
    assert f'href="/machines/{kettle}/mend/#case"' in html


def test_not_possible_is_offered_on_a_reading_and_never_on_a_stop_item(client_in: Any, kettle: str, bench: Any) -> None:
    bench.make_safe()
    assert 'id="not-possible"' in get(client_in, kettle, "cards/water/?item=pressure")[1]
    assert 'id="not-possible"' not in get(client_in, kettle, "cards/water/?item=leak_hot")[1]
    response = post(client_in, kettle, "cards/water/leak_hot/skip/", reason="AWAY", words="no time")
    assert response.status_code == 422
    assert post(client_in, kettle, "cards/water/pressure/skip/", reason="AWAY", words="").status_code == 422
    assert post(client_in, kettle, "cards/water/pressure/skip/", reason="AWAY", words="lent").status_code == 302


def test_the_only_instrument_of_a_kind_is_chosen_of_two_none(client_in: Any, kettle: str) -> None:
    page = "cards/safe-to-power/?item=earth"
    assert "selected" in get(client_in, kettle, page)[1]
    Instrument.objects.create(kind="EARTH", name="Second meter")
    select = re.search(r'<select name="instrument".*?</select>', get(client_in, kettle, page)[1])
    assert select is not None
    assert '<option value="" selected>' in select.group()


def test_an_overdue_calibration_is_said(client_in: Any, kettle: str) -> None:
    Instrument.objects.filter(kind="EARTH").update(calibration_due_on="2020-03-01")
    assert "calibration was due 1 March 2020" in get(client_in, kettle, "cards/safe-to-power/?item=earth")[1]


def test_undo_beside_the_last_item_takes_the_reading_back(client_in: Any, kettle: str, bench: Any) -> None:
    reading = bench.read("visual")
    assert "Undo" in get(client_in, kettle, "cards/safe-to-power/")[1]
    path = f"cards/safe-to-power/readings/{reading.pk}/strike/"
    assert post(client_in, kettle, path, version=reading.pk, key="k1").status_code == 302
    assert post(client_in, kettle, path, version=reading.pk, key="k1").status_code == 302
    assert post(client_in, kettle, path, version=reading.pk).status_code == 409
    assert Reading.objects.filter(struck=True).count() == 1


def test_a_reading_is_not_taken_back_past_a_newer_one(client_in: Any, kettle: str, bench: Any) -> None:
    older = bench.read("visual")
    bench.read("visual")
    response = post(client_in, kettle, f"cards/safe-to-power/readings/{older.pk}/strike/", version=older.pk)
    assert response.status_code == 409
    assert not Reading.objects.filter(struck=True).exists()


def test_a_stopped_unit_gets_its_tag(client_in: Any, kettle: str, bench: Any) -> None:
    failed = bench.read("earth", "0.5")
    assert post(client_in, kettle, "cards/safe-to-power/earth/stop/", version=failed.pk - 1).status_code == 409
    for _ in range(2):
        response = post(client_in, kettle, "cards/safe-to-power/earth/stop/", version=failed.pk, key="k1")
    assert response.url == f"/machines/{kettle}/do-not-use/"
    assert Wait.objects.count() == 1
    shown = text(get(client_in, kettle, "do-not-use/")[1])
    assert "Do not use Maple Harbour" in shown
    assert "Earth path, plug to metal : 0.5\u00a0ohm is too high" in shown


def test_the_same_form_pressed_twice_is_one_reading(client_in: Any, kettle: str) -> None:
    for _ in range(2):
        assert post(client_in, kettle, READ_EARTH, value="0.09", key="k1").status_code == 302
    assert Reading.objects.count() == 1


def test_an_old_tab_does_not_clear_a_stop_and_a_second_press_does_so_knowingly(
    client_in: Any, kettle: str, bench: Any
) -> None:
    seen = _version(get(client_in, kettle, "cards/safe-to-power/?item=visual")[1])
    bench.read("visual", answer="bad")
    path = "cards/safe-to-power/visual/read/"
    response = post(client_in, kettle, path, answer="good", version=seen)
    assert response.status_code == 409
    shown = text(response.content.decode())
    assert "not right. Ana, 12 May 12:01" in shown
    assert "You pressed Right" in shown
    assert Reading.objects.count() == 1
    again = post(client_in, kettle, path, answer="good", version=_version(response.content.decode()))
    assert again.status_code == 302
    assert [r.outcome for r in Reading.objects.order_by("pk")] == ["FAIL", "PASS"]


def test_not_possible_from_an_old_tab_is_held_back_too(client_in: Any, kettle: str, bench: Any) -> None:
    bench.make_safe()
    bench.read("pressure", "7.9")
    data = {"reason": "AWAY", "words": "lent out"}
    assert post(client_in, kettle, "cards/water/pressure/skip/", **data, version="0").status_code == 409
    newest = Reading.objects.get(item="pressure").pk
    assert post(client_in, kettle, "cards/water/pressure/skip/", **data, version=newest).status_code == 302


def _version(html: str) -> str:
    found = re.search(r'name="version" value="(\d+)"', html)
    assert found is not None
    return found.group(1)


def test_an_item_read_on_another_day_says_the_day(client_in: Any, kettle: str, bench: Any) -> None:
    bench.read("visual")
    assert "Saved 12 May 12:01, Ana" in get(client_in, kettle, "cards/safe-to-power/")[1]


@pytest.mark.parametrize("path", ["cards/nothing/", "do-not-use/x/"])
def test_addresses_that_are_not_there(client_in: Any, kettle: str, path: str) -> None:
    assert get(client_in, kettle, path)[0] == 404
    assert post(client_in, kettle, "cards/safe-to-power/nothing/read/", value="1").status_code == 404


def test_prove_shows_what_is_unmet_first_and_refuses_an_early_sign_off(client_in: Any, kettle: str, bench: Any) -> None:
    bench.make_safe()
    html = get(client_in, kettle, "prove/")[1]
    assert html.index('id="item-safety_parts"') < html.index('id="item-earth"')
    seen = re.search(r'name="seen" value="([^"]+)"', html)
    assert seen is not None
    response = post(client_in, kettle, "prove/sign-off/", seen=seen.group(1))
    assert response.status_code == 422
    assert "Leak after 30 minutes hot: look at it." in response.content.decode()
    assert post(client_in, kettle, "prove/sign-off/", seen="stale").status_code == 409


def test_instruments_not_owned_print_as_one_line(client_in: Any, kettle: str) -> None:
    Instrument.objects.filter(kind__in=("GAUGE", "WATT")).delete()
    shown = get(client_in, kettle, "prove/")[1]
    assert "Not measured here: pressure at the group, watts while heating." in shown


# --- shots and recipe ------------------------------------------------------------------------------------


SHOT = {"setting": "12", "dose_g": "17.5", "yield_g": "35", "time_s": "27"}


def test_a_shot_is_added_and_drawn(client_in: Any, kettle: str, bench: Any) -> None:
    bench.make_safe()
    assert post(client_in, kettle, "shots/add/", **SHOT).status_code == 302
    html = get(client_in, kettle, "shots/")[1]
    assert "1 : 2" in html
    assert html.count('<svg class="shot-chart') == 2


@pytest.mark.parametrize(
    "wrong",
    [{"setting": "40"}, {"setting": ""}, {"dose_g": "0"}, {"time_s": "x"}, {"yield_g": "-1"}, {"counts": "SPOILT"}],
)
def test_a_shot_that_cannot_be_is_refused_and_kept(client_in: Any, kettle: str, bench: Any, wrong: Any) -> None:
    bench.make_safe()
    entries = JournalEntry.objects.count()
    response = post(client_in, kettle, "shots/add/", **{**SHOT, **wrong})
    assert response.status_code == 422
    assert 'value="17.5"' in response.content.decode() or "dose_g" in wrong
    assert not Shot.objects.exists()
    assert JournalEntry.objects.count() == entries


def test_shots_before_it_is_safe_are_refused_with_a_link(client_in: Any, kettle: str, bench: Any) -> None:
    assert "Go to the card" in get(client_in, kettle, "shots/")[1]
    bench.look_under_lid()
    assert "Go to Safe to power" in get(client_in, kettle, "shots/")[1]
    assert post(client_in, kettle, "shots/add/", **SHOT).status_code == 422
    assert not Shot.objects.exists()


def test_one_press_proposes_the_recipe_and_its_words_are_put_right_later(
    client_in: Any, kettle: str, bench: Any
) -> None:
    bench.make_safe()
    bench.pull("12", "27")
    bench.pull("12", "28")
    words = {"portions": "1", "dose_tolerance_g": "0.5", "tamp_cue": "4 mm under the rim", "timed_from": "PUMP_ON"}
    both = [shot.pk for shot in Shot.objects.current()]
    assert post(client_in, kettle, "recipe/", **words, shots=both).status_code == 302
    assert post(client_in, kettle, "recipe/", **{**words, "version": "1", "lock_in": "half past 6"}).status_code == 302
    stale = post(client_in, kettle, "recipe/", **{**words, "version": "1", "lock_in": "6"})
    assert stale.status_code == 409
    assert "half past 6" in stale.content.decode()
    assert Recipe.objects.get().lock_in == "half past 6"


def test_a_recipe_that_nothing_proves_is_refused(client_in: Any, kettle: str, bench: Any) -> None:
    bench.make_safe()
    bench.pull("12", "27")
    assert "Two usable shots in a row are wanted." in get(client_in, kettle, "recipe/")[1]
    response = post(client_in, kettle, "recipe/", portions="1", dose_tolerance_g="0.5")
    assert response.status_code == 422
    assert not Recipe.objects.exists()


def test_the_sheet_prints_what_was_measured_and_nothing_else(bench: Any) -> None:
    bench.make_safe()
    bench.pull("12", "27")
    bench.pull("12", "28")
    assert pages.for_sheet(bench.job).recipe is None
    _set_recipe(bench)
    rows = [(r.what, r.limit, r.found) for r in pages.for_sheet(bench.job).readings]
    assert rows == [
        ("Earth path, plug to metal", "0.129 ohm or less", "0.09\u00a0ohm"),
        ("Insulation at 500 V", "0.3 megohm or more", "over 99.9\u00a0megohm"),
        ("Two coffees in a row", "within 3 s", "27 s and 28 s"),
    ]
    bench.open_case()
    bench.shut_case()
    assert [r.what for r in pages.for_sheet(bench.job).readings] == ["Two coffees in a row"]


def test_only_a_card_says_who_is_at_the_bench(client_in: Any, bench: Any, kettle: str) -> None:
    """Whoever merely looks at Prove is signed in, no more."""
    for path in ("prove/", "clean/", "mend/", "shots/"):
        page = text(get(client_in, kettle, path)[1])
        assert "is at the bench" not in page
        assert "Signed in as Ana" in page
    assert "Ana is at the bench" in text(get(client_in, kettle, "cards/safe-to-power/")[1])


def test_two_shots_in_a_row_are_of_the_day_they_were_pulled(bench: Any, technician: Any) -> None:
    """The recipe is set the next day, by somebody else: sheet and Prove print the shots' own person and day."""
    bench.make_safe()
    bench.pull("12", "27")
    bench.pull("12", "28")
    next_day = bench.act(by=technician, at=bench.now() + timedelta(days=1))
    recipe.set_recipe(next_day, bench.job, {"portions": 1, "dose_tolerance_g": 0})
    row = next(r for r in pages.for_sheet(bench.job).readings if "coffees" in r.what)
    assert row.by_on == "Ana, 12\u00a0May"
    shown = {each.code: each.by for each in pages_prove.coffee_rows(bench.job, bench.facts, met=True)}
    assert shown == {"shots": "Ana, 12 May", "recipe": f"{technician}, 13 May"}


def _set_recipe(bench: Any) -> None:
    recipe.set_recipe(bench.act(at=bench.now()), bench.job, {"portions": 1, "dose_tolerance_g": 0})


# --- queries ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", ["prove/", "cards/safe-to-power/", "cards/water/?item=pressure", "shots/"])
def test_pages_take_the_same_queries_at_one_row_and_at_thirty(
    client_in: Any, kettle: str, bench: Any, path: str
) -> None:
    bench.make_safe()
    bench.pull("12", "27")
    bench.read("pressure", "9.1")
    few = _queries(client_in, kettle, path)
    for _ in range(29):
        bench.pull("12", "27")
        bench.read("pressure", "9.1")
    assert _queries(client_in, kettle, path) == few


def _queries(client: Client, kettle: str, path: str) -> int:
    with CaptureQueriesContext(connection) as captured:
        assert get(client, kettle, path)[0] == 200
    return len(captured)
