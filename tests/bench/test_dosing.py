"""Doses weighed: the line, its words, what voids it; and the grinder being opened."""

import re
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from workshop.bench import pages_dose, report, stations
from workshop.bench.models import BurrChange, DoseTrial
from workshop.bench.services import basis, dosing, recipe
from workshop.bench.services.dosing import Weighed
from workshop.bench.undo import UNDO
from workshop.core import stations as core_stations
from workshop.core.acts import AlreadyDone, Odd, Refused
from workshop.core.models import Job, JournalEntry, ModelNotes


@pytest.fixture
def safe(bench: Any) -> Any:
    bench.make_safe()
    ModelNotes.objects.update(dose_scale="seconds")
    bench.job = Job.objects.select_related("machine__notes").get(pk=bench.job.pk)
    return bench


def weigh(bench: Any, length: str, grams: str, *, at: str = "12", **more: Any) -> JournalEntry:
    weighed = Weighed(length=length, dose_g=Decimal(grams), setting=at, **more)
    return dosing.add_dose(bench.act(at=bench.now()), bench.job, weighed)


def opened(bench: Any, why: str = "burrs out to clean") -> JournalEntry:
    act = bench.act(at=bench.now())
    return dosing.open_grinder(act, bench.job, why=why, inner_before="6", inner_after="5")


def ask_full_set(bench: Any) -> None:
    """A full set by hand: a built-in grinder is read in the full set only."""
    basis.ask_full_set(bench.act(at=bench.now()), bench.job, because="it goes to a café")


def page(bench: Any) -> dict[str, Any]:
    facts = bench.facts
    found = pages_dose.weighings(bench.job, facts)
    assert found is not None
    return pages_dose.dose_page(facts, found.dosing)


# --- trials ----------------------------------------------------------------------------------------------


def test_a_short_and_a_long_dose_say_what_to_set_for_the_dose_aimed_at(safe: Any) -> None:
    weigh(safe, "4", "7")
    assert page(safe)["answer"] == "Weigh one short dose and one long one"
    assert page(safe)["why"] == ["Weigh doses at two settings at least, one short and one long."]
    weigh(safe, "8", "15")  # 2 g/s after half a second: 17.5 g in 9.25 s, on a mark of 0.1 s
    assert page(safe)["answer"].startswith("9.3 s gives 17.6\u00a0g, ")
    assert page(safe)["line"] == "Each second more gives 2\u00a0g more, after 0.5\u00a0s of nothing. From 2 trials."


def test_portions_say_what_the_scale_reads_after_each(safe: Any) -> None:
    weigh(safe, "4", "7")
    weigh(safe, "8", "15")
    rows = {row.portions: row for row in page(safe)["answers"]}
    assert (rows["2"].each, rows["2"].totals) == ("4.9 s", "8.8, then 17.6\u00a0g")
    assert rows["1"].note == "outside what was weighed"
    assert rows["2"].note == ""


def test_a_dial_is_read_like_a_clock_and_answered_like_one(safe: Any) -> None:
    ModelNotes.objects.update(dose_scale="clock")
    safe.job = Job.objects.select_related("machine__notes").get(pk=safe.job.pk)
    weigh(safe, "10", "9.5")
    weigh(safe, "half past two", "18.5")  # 2 g an hour, across twelve o'clock
    assert page(safe)["answer"].startswith("2 o'clock gives 17.5\u00a0g, ")
    assert DoseTrial.objects.latest("pk").length_words == "half past 2"


def test_what_was_held_on_by_hand_is_kept_out_of_the_line(safe: Any) -> None:
    weigh(safe, "4", "7")
    weigh(safe, "8", "19", topped_up=True)
    assert page(safe)["line"] == ""
    assert [row.state for row in page(safe)["trials"]] == ["held on by hand, left out", "counts"]


def test_a_grind_change_voids_the_trials_and_going_back_counts_them_again(safe: Any) -> None:
    weigh(safe, "4", "7")
    weigh(safe, "8", "15")
    safe.pull("10", "27")
    assert page(safe)["why"] == ["The grinder stands at 10 now, the trials at 12: weigh new ones."]
    assert page(safe)["line"] == ""
    safe.pull("12", "27")
    assert page(safe)["line"] != ""


def test_three_doses_out_on_one_side_since_the_trials_ask_for_new_ones(safe: Any) -> None:
    weigh(safe, "4", "7")
    weigh(safe, "8", "15")
    for dose in ("16.9", "16.8", "16.8"):  # aimed at 17.5 g
        assert page(safe)["why"] == []
        safe.pull("12", "27", dose=dose)
    assert page(safe)["why"] == ["Three doses in a row came out light: weigh new trials."]
    weigh(safe, "9.3", "17.4")
    assert page(safe)["why"] == []


@pytest.mark.parametrize(
    ("length", "setting", "field"), [("soon", "12", "length"), ("-1", "12", "length"), ("4", "99", "setting")]
)
def test_a_length_or_a_setting_its_scales_do_not_have_is_refused_beside_its_box(
    safe: Any, length: str, setting: str, field: str
) -> None:
    with pytest.raises(Refused) as refused:
        weigh(safe, length, "7", at=setting)
    assert refused.value.field == field
    assert not DoseTrial.objects.exists()


def test_far_too_much_coffee_is_asked_about_once(safe: Any) -> None:
    with pytest.raises(Odd, match="far from"):
        weigh(safe, "8", "70")
    weigh(safe, "8", "70", sure="70")
    assert DoseTrial.objects.get().dose_g == 70


def test_no_dose_is_ground_before_it_is_safe_to_power(bench: Any) -> None:
    with pytest.raises(Refused):
        weigh(bench, "4", "7")


def test_a_machine_without_a_grinder_weighs_no_dose_and_opens_none(safe: Any, client_in: Client, kettle: str) -> None:
    ModelNotes.objects.update(has_grinder=False, grind_scale="")
    safe.job = Job.objects.select_related("machine__notes").get(pk=safe.job.pk)
    with pytest.raises(Refused, match="no grinder of its own"):
        weigh(safe, "4", "7")
    with pytest.raises(Refused, match="no grinder of its own"):
        opened(safe)
    assert client_in.get(f"/machines/{kettle}/dose/").status_code == 404


def test_a_dose_pressed_twice_is_one_and_its_undo_takes_it_back(safe: Any) -> None:
    act = safe.act(at=safe.now(), key="once")
    entry = dosing.add_dose(act, safe.job, Weighed("4", Decimal(7), "12"))
    with pytest.raises(AlreadyDone):
        dosing.add_dose(act, safe.job, Weighed("4", Decimal(7), "12"))
    UNDO["add_dose"](safe.act(at=safe.now()), entry)
    assert page(safe)["trials"] == []
    assert DoseTrial.objects.count() == 2  # the dose and the row that takes it back


# --- the grinder opened ----------------------------------------------------------------------------------


def test_an_opened_grinder_withdraws_doses_shots_and_recipe_and_undo_brings_them_back(safe: Any) -> None:
    weigh(safe, "4", "7")
    weigh(safe, "8", "15")
    safe.pull("12", "27")
    safe.pull("12", "28")
    recipe.set_recipe(safe.act(at=safe.now()), safe.job, {"portions": 1, "dose_tolerance_g": Decimal("0.5")})
    assert safe.facts.recipe_holds()
    entry = opened(safe)
    assert not safe.facts.recipe_holds()
    assert (safe.facts.dial_in.rows, len(safe.facts.dial_in.set_apart)) == ([], 2)
    assert page(safe)["why"] == ["The grinder was opened since: weigh new trials."]
    said = [unmet.sentence for unmet in stations.PROVE.unmet(safe.facts) if unmet.code == "shots"]
    assert said == ["Burr zero has moved: pull two shots in a row inside 24 to 31 s that agree."]
    UNDO["open_grinder"](safe.act(at=safe.now()), entry)
    assert safe.facts.recipe_holds()
    assert page(safe)["line"] != ""


def test_an_opened_grinder_withdraws_its_own_readings_and_no_other_until_they_are_read_anew(
    client_in: Client, kettle: str, safe: Any
) -> None:
    ask_full_set(safe)
    safe.read("grinder_noise")
    safe.read("dose_repeat", series=safe.draws("16", "16.5", "17", "16.5", "16.5"))
    safe.read("pressure", "9")
    entry = opened(safe, "burrs out to clean.")
    states = {code: safe.state(code).value for code in ("grinder_noise", "dose_repeat", "pressure")}
    assert states == {"grinder_noise": "half", "dose_repeat": "half", "pressure": "full"}
    said = {unmet.code: unmet.sentence for unmet in stations.PROVE.unmet(safe.facts)}
    assert said["item_dose_repeat"] == "Five doses, weighed: do it again, the grinder was opened since."
    assert "not proved, grinder opened since" in words_of(client_in.get(f"/machines/{kettle}/prove/"))
    card = words_of(client_in.get(f"/machines/{kettle}/cards/coffee/?item=grinder_noise"))
    assert re.search(r"The grinder was opened \S+ \S+ at [\d:]+, after the test: burrs out to clean\. ", card)
    safe.read("grinder_noise")
    assert safe.state("grinder_noise").value == "full"
    assert safe.state("dose_repeat").value == "half"
    UNDO["open_grinder"](safe.act(at=safe.now()), entry)
    assert safe.state("dose_repeat").value == "full"


def test_the_test_report_says_that_and_why_the_grinder_was_opened(safe: Any) -> None:
    ask_full_set(safe)
    safe.read("grinder_noise")
    opened(safe)
    paper = report.report(safe.job)
    row = next(row for card in paper.cards for row in card.rows if row.what == "Sound of the grinder")
    assert row.ended == "not proved: the grinder was opened since"
    assert "Sound of the grinder: not proved since the grinder was opened" in paper.open_items
    assert re.search(r"The grinder was last opened on .* at [\d:]+: burrs out to clean\.$", paper.case_words)


def test_the_rail_says_that_prove_changed_after_an_opened_grinder(safe: Any) -> None:
    safe.pull("12", "27")
    before = core_stations.fingerprint(safe.facts)
    opened(safe)
    assert core_stations.fingerprint(safe.facts) != before


def test_shots_after_the_opening_may_carry_a_recipe_one_from_before_may_not(safe: Any) -> None:
    safe.pull("12", "27")
    opened(safe)
    safe.pull("12", "27")
    with pytest.raises(Refused, match="No two shots in a row agree yet"):
        recipe.set_recipe(safe.act(at=safe.now()), safe.job, {"portions": 1, "dose_tolerance_g": 0})
    everyone = [row.pk for row in (*safe.facts.dial_in.set_apart, *safe.facts.dial_in.rows)]
    with pytest.raises(Refused, match="Shot 1 was pulled before the grinder was opened"):
        recipe.set_recipe(safe.act(at=safe.now()), safe.job, {"portions": 1, "dose_tolerance_g": 0}, shots=everyone)
    safe.pull("12", "28")
    recipe.set_recipe(safe.act(at=safe.now()), safe.job, {"portions": 1, "dose_tolerance_g": Decimal("0.5")})
    assert safe.facts.recipe_holds()


# --- pages -----------------------------------------------------------------------------------------------


def words_of(response: Any) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.content.decode()))


def test_the_dose_page_prefills_no_reading_and_carries_over_only_where_the_grinder_stands(
    client_in: Client, kettle: str, safe: Any
) -> None:
    assert "No dose weighed yet." in words_of(client_in.get(f"/machines/{kettle}/dose/"))
    weigh(safe, "4", "7", portions=2)
    html = client_in.get(f"/machines/{kettle}/dose/").content.decode()
    boxes = dict(re.findall(r'<input[^>]*?name="(\w+)"(?:(?!>).)*?(value="[^"]*")?', html))
    assert 'name="setting" value="12"' in html
    assert boxes["dose_g"] == boxes["length"] == ""


def test_a_dose_is_recorded_with_a_decimal_comma_and_refused_in_place(
    client_in: Client, kettle: str, safe: Any
) -> None:
    typed = {"length": "3,1", "dose_g": "6,4", "portions": "1", "setting": "12"}
    assert client_in.post(f"/machines/{kettle}/dose/add/", typed).status_code == 302
    assert DoseTrial.objects.get().length == Decimal("3.1")
    refused = client_in.post(f"/machines/{kettle}/dose/add/", {**typed, "length": "soon"})
    assert refused.status_code == 422
    assert 'value="soon"' in refused.content.decode()
    assert 'value="6,4"' in refused.content.decode()


def test_a_dose_is_taken_out_on_its_page(client_in: Client, kettle: str, safe: Any) -> None:
    weigh(safe, "4", "7")
    pk = DoseTrial.objects.get().pk
    assert client_in.post(f"/machines/{kettle}/dose/{pk}/strike/").status_code == 302
    assert client_in.post(f"/machines/{kettle}/dose/{pk}/strike/").status_code == 422
    assert "No dose weighed yet." in words_of(client_in.get(f"/machines/{kettle}/dose/"))


@pytest.mark.parametrize("room", ["mend", "dose"])
def test_the_grinder_is_said_to_be_opened_on_mend_and_on_dose(
    client_in: Client, kettle: str, safe: Any, room: str
) -> None:
    safe.pull("12", "27")
    typed = {"why": "burrs out", "inner_before": "6", "inner_after": "5", "from": room}
    refused = client_in.post(f"/machines/{kettle}/grinder/opened/", {**typed, "inner_before": ""})
    assert refused.status_code == 422
    assert 'value="burrs out"' in refused.content.decode()
    done = client_in.post(f"/machines/{kettle}/grinder/opened/", typed)
    assert done.url == f"/machines/{kettle}/{room}/#grinder"
    row = BurrChange.objects.get()
    assert (row.inner_before, row.inner_after) == ("6", "5")
    for address in ("mend", "dose", "shots"):
        assert "Burr zero has moved" in words_of(client_in.get(f"/machines/{kettle}/{address}/"))
    assert "1 shot from before" in words_of(client_in.get(f"/machines/{kettle}/shots/"))


def test_thirty_doses_take_the_queries_of_one(client_in: Client, kettle: str, safe: Any) -> None:
    counts = []
    for more in (1, 29):
        for at in range(more):
            weigh(safe, str(4 + at % 5), str(7 + at % 5 * 2))
        client_in.get(f"/machines/{kettle}/dose/")
        with CaptureQueriesContext(connection) as asked:
            client_in.get(f"/machines/{kettle}/dose/")
        counts.append(len(asked))
    assert counts[0] == counts[1]
