"""Clean and descale: what is wanted, what was done, and what the page refuses."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from intake.models import Purchase
from tests.conftest import NOON
from workshop.bench import stations
from workshop.bench.facts.clean import CleanFacts
from workshop.bench.models import CleanLine, DescaleRun, LeadFlush, ResidualCheck, Rinse
from workshop.bench.services import clean, work
from workshop.bench.undo import UNDO
from workshop.bench.words import Cleaned, Path
from workshop.core.acts import Refused
from workshop.core.models import JournalEntry, ModelNotes
from workshop.trade.water import rinsing
from workshop.trade.water.rinsing import BoilerKind

CITRIC = {"agent": "CITRIC_MONOHYDRATE", "strength_percent": Decimal(3), "volume_l": Decimal(1), "minutes": 30}


def facts(bench: Any) -> CleanFacts:
    return stations.CLEAN.facts([bench.job.pk])[bench.job.pk]


def missing(bench: Any) -> list[str]:
    return [unmet.code for unmet in stations.CLEAN.unmet(facts(bench))]


@pytest.fixture
def bench(bench: Any) -> Any:
    """Descaling runs the pump and heats: nothing is descaled before it is safe to power."""
    bench.make_safe()
    return bench


@pytest.fixture
def small(bench: Any) -> Any:
    """A thermoblock: 40 ml, no tank of hot water behind it."""
    ModelNotes.objects.update(kind="THERMOBLOCK", brew_boiler_l="0.040", steam_boiler_l=None, has_hot_water=False)
    return bench


def rinse_all(bench: Any) -> None:
    wanted = {p.path.value: facts(bench).wanted_l(p) or Decimal(0) for p in facts(bench).paths}
    clean.rinse_all(bench.act(at=bench.now()), bench.job, wanted=wanted)


def test_everything_the_model_has_is_cleaned_or_left_because(small: Any) -> None:
    things = ["clean_group", "clean_grinder", "clean_tank", "clean_wand", "clean_tray", "clean_case"]
    assert missing(small)[:6] == things
    lines = [(what.value, "") for what in Cleaned if what is not Cleaned.WAND] + [("WAND", "seized, left as it is")]
    clean.clean(small.act(), small.job, lines=lines)
    assert missing(small) == ["descale"]


def test_food_acid_in_a_small_machine_wants_twice_the_computed_litres(small: Any) -> None:
    clean.descale(small.act(at=small.now()), small.job, **CITRIC)
    brew = facts(small).paths[0]
    computed = rinsing.rinse_volume_l(Decimal("0.040"), kind=BoilerKind.PLUG, strength_percent=Decimal(3))
    assert facts(small).wanted_l(brew) == 2 * computed


def test_a_tenth_of_a_litre_short_is_not_rinsed(small: Any) -> None:
    clean.descale(small.act(at=small.now()), small.job, **CITRIC)
    for path in facts(small).paths:
        wanted = facts(small).wanted_l(path) or Decimal(0)
        short = wanted - Decimal("0.1")
        clean.rinse(small.act(at=small.now()), small.job, path=path.path.value, volume_l=short, needed_l=wanted)
    assert {"rinse_brew", "rinse_steam"} <= set(missing(small))
    for path in facts(small).paths:
        clean.rinse(
            small.act(at=small.now()), small.job, path=path.path.value, volume_l=Decimal("0.1"), needed_l=Decimal(0)
        )
    assert {"rinse_brew", "rinse_steam"}.isdisjoint(missing(small))


def test_a_fresh_run_wants_its_rinse_anew(small: Any) -> None:
    clean.descale(small.act(at=small.now()), small.job, **CITRIC)
    rinse_all(small)
    clean.flush_for_lead(small.act(at=small.now()), small.job, volume_l=Decimal(1), stood_hours=0)
    assert not [code for code in missing(small) if not code.startswith("clean_")]
    clean.descale(small.act(at=small.now()), small.job, **CITRIC)
    assert {"rinse_brew", "rinse_steam", "lead_flush"} <= set(missing(small))


@pytest.mark.parametrize(("boiler_l", "measured"), [("0.300", False), ("0.301", True)])
def test_above_three_tenths_of_a_litre_rinsed_clean_is_measured(small: Any, boiler_l: str, measured: bool) -> None:
    ModelNotes.objects.update(kind="SINGLE_BOILER", brew_boiler_l=boiler_l)
    clean.descale(small.act(at=small.now()), small.job, **CITRIC)
    assert ("residual" in missing(small)) is measured


def test_an_acid_that_is_no_food_is_measured_in_a_small_machine_too(small: Any) -> None:
    clean.descale(small.act(at=small.now()), small.job, **(CITRIC | {"agent": "SULFAMIC"}))
    assert "residual" in missing(small)


@pytest.mark.parametrize(
    ("alkalinity", "feed_ph", "sample_ph", "resolution", "passed"),
    [
        ("5", "7.0", "7.0", "0.1", True),
        ("230", "7.6", "7.6", "0.1", True),  # the meter tells 4.5 mg/L apart
        ("230", "7.6", "7.0", "0.1", False),  # 44.5 mg/L left
        ("230", "7.6", "7.6", "0.5", False),  # a strip in hard water cannot see 10 mg/L: equal proves nothing
    ],
)
def test_the_measured_check_is_no_better_than_what_the_meter_can_tell_apart(
    bench: Any, alkalinity: str, feed_ph: str, sample_ph: str, resolution: str, passed: bool
) -> None:
    clean.descale(bench.act(at=bench.now()), bench.job, **CITRIC)
    clean.check_residual(
        bench.act(at=bench.now()),
        bench.job,
        agent="CITRIC_MONOHYDRATE",
        feed_alkalinity_mg_l=Decimal(alkalinity),
        feed_ph=Decimal(feed_ph),
        sample_ph=Decimal(sample_ph),
        resolution_ph=Decimal(resolution),
        instrument=None,
    )
    assert ResidualCheck.objects.get().passed is passed
    assert ("residual" not in missing(bench)) is passed


def test_acid_measured_over_the_limit_is_rinsed_again_in_the_smallest_machine_too(small: Any) -> None:
    clean.descale(small.act(at=small.now()), small.job, **CITRIC)
    assert "residual" not in missing(small)
    water = {"feed_alkalinity_mg_l": Decimal(230), "feed_ph": Decimal("7.6"), "resolution_ph": Decimal("0.1")}
    for sample_ph, over in (("3.0", True), ("7.6", False)):
        act = small.act(at=small.now())
        clean.check_residual(
            act, small.job, agent="CITRIC_MONOHYDRATE", sample_ph=Decimal(sample_ph), instrument=None, **water
        )
        assert ("residual" in missing(small)) is over


def test_nothing_is_descaled_before_it_is_safe_to_power(small: Any) -> None:
    small.open_case()
    with pytest.raises(Refused, match="Not safe to power yet"):
        clean.descale(small.act(at=small.now()), small.job, **CITRIC)
    assert not DescaleRun.objects.exists()


def test_the_flush_for_lead_is_wanted_after_every_run(small: Any) -> None:
    assert "lead_flush" not in missing(small)
    clean.descale(small.act(at=small.now()), small.job, **CITRIC)
    assert "lead_flush" in missing(small)
    clean.flush_for_lead(small.act(at=small.now()), small.job, volume_l=Decimal(1), stood_hours=12)
    assert "lead_flush" not in missing(small)
    assert LeadFlush.objects.get().stood_hours == 12


def test_not_needed_because_closes_descaling_and_can_be_taken_back(small: Any) -> None:
    work.not_needed(small.act(at=small.now()), small.job, what="descale", because="only ever fed soft water")
    assert "descale" not in missing(small)
    work.not_needed(small.act(at=small.now()), small.job, what="descale", because="")
    assert "descale" in missing(small)


@pytest.mark.parametrize(("day", "refused"), [(11, True), (12, False)])
def test_a_hold_forbids_acid_until_its_first_free_day(small: Any, day: int, refused: bool) -> None:
    Purchase.objects.create(
        job=small.job, price_minor=1, acquired_on=date(2026, 5, 5), hold_until_on=date(2026, 5, 12),
        hold_blocks_work=True, hold_words="As received.",
    )  # fmt: skip
    act = small.act(at=NOON - timedelta(days=12 - day))
    if refused:
        with pytest.raises(Refused, match="On hold until 12 May 2026"):
            clean.descale(act, small.job, **CITRIC)
        assert not DescaleRun.objects.exists()
    else:
        clean.descale(act, small.job, **CITRIC)
        assert DescaleRun.objects.count() == 1


def test_a_run_and_a_rinse_are_undone_once(small: Any) -> None:
    run = clean.descale(small.act(at=small.now()), small.job, **CITRIC)
    rinse = clean.rinse(small.act(at=small.now()), small.job, path=Path.BREW, volume_l=Decimal(1), needed_l=Decimal(1))
    for entry in (run, rinse):
        UNDO[entry.verb](small.act(at=small.now()), entry)
        with pytest.raises(Refused, match="taken back already"):
            UNDO[entry.verb](small.act(at=small.now()), entry)
    assert facts(small).runs == []
    assert facts(small).rinsed_l == {}


# --- the page --------------------------------------------------------------------------------------------


def test_the_app_works_the_grams_out_before_the_fill_is_logged(client_in: Any, kettle: str) -> None:
    data = {"hardness": "280", "hardness_unit": "mg_l_caco3", "strength_percent": "3", "volume_l": "1", "minutes": "30"}
    page = client_in.get(f"/machines/{kettle}/clean/").content.decode()
    unit = next(u for u in ("MG_L_CACO3", "mg_l_caco3") if f'value="{u}"' in page)
    response = client_in.post(
        f"/machines/{kettle}/clean/descale/", data | {"hardness_unit": unit, "agent": CITRIC["agent"], "work": "1"}
    )
    assert response.status_code == 200
    assert "Weigh out" in response.content.decode()
    assert not DescaleRun.objects.exists()


@pytest.mark.parametrize(
    ("path", "data"),
    [
        ("add/", {}),
        ("add/", {"done_GROUP": "on", "because_GROUP": "left"}),
        ("descale/", {"agent": "VINEGAR", "strength_percent": "3", "volume_l": "1", "minutes": "30"}),
        ("descale/", {"agent": "CITRIC_MONOHYDRATE", "strength_percent": "90", "volume_l": "1", "minutes": "30"}),
        ("descale/as-usual/", {}),
        ("rinse/", {"path": "BREW", "volume_l": "none"}),
        ("rinse/as-computed/", {}),
        ("flush/", {"volume_l": "0"}),
        ("residual/", {"sample_ph": "20"}),
        ("descale/not-needed/", {"because": ""}),
    ],
)
def test_bad_input_is_refused_and_stores_nothing(client_in: Any, kettle: str, path: str, data: Any) -> None:
    before = JournalEntry.objects.count()
    response = client_in.post(f"/machines/{kettle}/clean/{path}", data)
    assert response.status_code == 422
    assert "Error: " in response.content.decode()
    assert JournalEntry.objects.count() == before


def test_the_same_press_twice_is_one_run(client_in: Any, kettle: str) -> None:
    data = {"agent": CITRIC["agent"], "strength_percent": "3", "volume_l": "1", "minutes": "30", "key": "k"}
    page = client_in.get(f"/machines/{kettle}/clean/").content.decode()
    data["hardness_unit"] = next(u for u in ("MG_L_CACO3", "mg_l_caco3") if f'value="{u}"' in page)
    for _ in range(2):
        assert client_in.post(f"/machines/{kettle}/clean/descale/", data).status_code == 302
    assert DescaleRun.objects.count() == 1


# --- taking back -----------------------------------------------------------------------------------------


def test_what_was_cleaned_is_taken_back_whole_and_an_earlier_line_stands_again(small: Any) -> None:
    clean.clean(small.act(at=small.now()), small.job, lines=[("TRAY", "cracked, left")])
    entry = clean.clean(small.act(at=small.now()), small.job, lines=[("TRAY", ""), ("CASE", "")])
    UNDO["clean"](small.act(at=small.now()), entry)
    lines = facts(small).lines
    assert {what: line.because for what, line in lines.items()} == {"TRAY": "cracked, left"}
    with pytest.raises(Refused, match="taken back already"):
        UNDO["clean"](small.act(at=small.now()), entry)


def test_rinsed_all_flush_and_measured_rinse_are_taken_back(small: Any) -> None:
    clean.descale(small.act(at=small.now()), small.job, **CITRIC)
    rinsed = _rinse_entry(small)
    flushed = clean.flush_for_lead(small.act(at=small.now()), small.job, volume_l=Decimal(1), stood_hours=0)
    measured = clean.check_residual(
        small.act(at=small.now()), small.job, agent="CITRIC_MONOHYDRATE", feed_alkalinity_mg_l=Decimal(5),
        feed_ph=Decimal(7), sample_ph=Decimal("6.9"), resolution_ph=Decimal("0.1"), instrument=None,
    )  # fmt: skip
    assert "lead_flush" not in missing(small)
    for entry in (rinsed, flushed, measured):
        UNDO[entry.verb](small.act(at=small.now()), entry)
    assert {"rinse_brew", "rinse_steam", "lead_flush"} <= set(missing(small))
    assert (facts(small).residual, facts(small).rinsed_l) == (None, {})
    assert (LeadFlush.objects.count(), ResidualCheck.objects.count()) == (2, 2)


def _rinse_entry(bench: Any) -> JournalEntry:
    rinse_all(bench)
    return JournalEntry.objects.get(verb="rinse_all")


@pytest.mark.parametrize("kind", ["line", "rinse", "flush"])
def test_the_page_offers_undo_beside_each(client_in: Any, kettle: str, small: Any, kind: str) -> None:
    clean.clean(small.act(at=small.now()), small.job, lines=[("TRAY", "")])
    clean.descale(small.act(at=small.now()), small.job, **CITRIC)
    rinse_all(small)
    clean.flush_for_lead(small.act(at=small.now()), small.job, volume_l=Decimal(1), stood_hours=0)
    page = client_in.get(f"/machines/{kettle}/clean/").content.decode()
    row = {"line": CleanLine, "rinse": Rinse, "flush": LeadFlush}[kind].objects.first()
    path = f"/machines/{kettle}/clean/{kind}/{row.pk}/strike/"
    assert f'action="{path}"' in page
    assert client_in.post(path).status_code == 302
    assert f'action="{path}"' not in client_in.get(f"/machines/{kettle}/clean/").content.decode()
    assert client_in.post(path).status_code == 422


def test_nothing_of_another_kind_is_struck(client_in: Any, kettle: str) -> None:
    assert client_in.post(f"/machines/{kettle}/clean/tank/1/strike/").status_code == 404


def test_the_page_takes_the_same_queries_at_one_run_and_at_thirty(client_in: Any, kettle: str, bench: Any) -> None:
    def once() -> None:
        clean.descale(bench.act(at=bench.now()), bench.job, **CITRIC)
        clean.rinse(bench.act(at=bench.now()), bench.job, path=Path.BREW, volume_l=Decimal(1), needed_l=Decimal(1))
        clean.clean(bench.act(at=bench.now()), bench.job, lines=[("TRAY", "")])

    once()
    few = _queries(client_in, kettle)
    for _ in range(29):
        once()
    assert (CleanLine.objects.count(), Rinse.objects.count()) == (30, 30)
    assert _queries(client_in, kettle) == few


def _queries(client: Any, kettle: str) -> int:
    with CaptureQueriesContext(connection) as captured:
        assert client.get(f"/machines/{kettle}/clean/").status_code == 200
    return len(captured)
