"""Our own limits: tightened freely, loosened aloud, and never on a machine that is under way."""

from datetime import timedelta
from decimal import Decimal
from importlib import import_module
from typing import Any

import pytest
from django.apps import apps

from tests.bench import factories
from tests.conftest import NOON
from workshop.bench import pages, pages_limits, say
from workshop.bench import report as bench_report
from workshop.bench.facts.prove import ItemState
from workshop.bench.models import LimitRow, ProveBasis
from workshop.bench.services import basis, own_limits
from workshop.bench.undo import UNDO
from workshop.bench.words import OwnMeasure
from workshop.core.acts import Refused
from workshop.core.models import JournalEntry, ModelNotes, Reading
from workshop.core.words import Outcome
from workshop.trade.safety import profiles
from workshop.trade.safety.electrical import PROFILES

UK = PROFILES["uk_iet_5"]
EARTH, INSULATION = OwnMeasure.EARTH, OwnMeasure.INSULATION


def set_own(bench: Any, measure: OwnMeasure, low: str | None = None, high: str | None = None, because: str = "") -> Any:
    ends = {"low": Decimal(low) if low else None, "high": Decimal(high) if high else None}
    return own_limits.set_limit(bench.act(at=bench.now()), UK, measure, **ends, reason=because)


def limit_words(bench: Any, code: str) -> str:
    return say.limit_words(bench.facts.states[code], bench.facts.unit)


# the place's limit on this cord is 0.129 ohm
def test_a_stricter_limit_is_judged_by_and_said(bench: Any) -> None:
    set_own(bench, EARTH, high="0.1")
    reading = bench.read("earth", "0.101")
    assert reading.outcome == Outcome.FAIL
    assert (reading.limit_words, reading.own_limit) == (
        "0.1 ohm or less",
        "our own limit, stricter than 0.129 ohm or less",
    )
    assert bench.read("earth", "0.1").outcome == Outcome.PASS


def test_our_own_limit_is_its_own_source_and_the_place_only_what_it_was_compared_with(
    bench: Any, client_in: Any, kettle: str
) -> None:
    set_own(bench, EARTH, high="0.1")
    compared = f"our own limit, compared with {UK.title}, 5th edition, 2020"
    card = client_in.get(f"/machines/{kettle}/cards/safe-to-power/?item=earth").content.decode()
    assert f"Limit from: {compared}" in card
    bench.make_safe()
    reading = Reading.objects.get(item="earth")
    assert (reading.source, reading.edition) == ("our own limit", f"{UK.title}, 5th edition, 2020")
    printed = bench_report.report(bench.job)
    notes = {row.what: printed.notes[row.note - 1] for card in printed.cards for row in card.rows if row.note}
    assert notes[reading.title] == f"O{compared[1:]}"
    assert notes["Insulation at 500 V"].startswith(f"{UK.title}, 5th edition, 2020. ")
    assert "IET" in notes["Insulation at 500 V"]


def test_the_sheet_claims_no_edition_for_our_own_limits(bench: Any) -> None:
    set_own(bench, EARTH, high="0.1")
    set_own(bench, INSULATION, low="1.5")
    bench.make_safe()
    note = " ".join(pages.for_sheet(bench.job).notes)
    assert note.startswith("Our own electrical limits were compared with: United Kingdom, IET")
    assert "Electrical limits: " not in note
    assert "Earth path, plug to metal: our own limit, stricter than 0.129 ohm or less." in note


def test_a_wider_limit_wants_its_reason(bench: Any) -> None:
    with pytest.raises(Refused, match=r"wider than 0\.129 ohm or less\. Say why") as refused:
        set_own(bench, EARTH, high="0.2")
    assert refused.value.field == "reason"
    assert not LimitRow.objects.exists()


def test_a_wider_limit_with_its_reason_counts_and_prints_on_the_sheet(bench: Any) -> None:
    set_own(bench, EARTH, high="0.2", because="old cords are long")
    bench.read("case_shut")
    bench.read("visual")
    assert bench.read("earth", "0.18").outcome == Outcome.PASS
    note = " ".join(pages.for_sheet(bench.job).notes)
    said = "our own limit, wider than 0.129 ohm or less, because old cords are long"
    assert said in note
    row = next(row for row in pages.readings_section(bench.job)["rows"] if row.code == "earth")
    assert row.how == said


def test_wider_on_this_machine_only_stays_the_places(bench: Any) -> None:
    """0.129 on the example's cord is no wider; on a shorter cord it is, and does not count without a reason."""
    set_own(bench, EARTH, high="0.129")
    bench.job.machine.cord_length_m = Decimal("0.5")  # 0.1 + 0.5 x 0.0195 = 0.110 ohm
    bench.job.machine.save()
    reading = bench.read("earth", "0.12")
    assert (reading.outcome, reading.limit_words, reading.own_limit) == (Outcome.FAIL, "0.11 ohm or less", "")


def test_a_limit_may_be_added_where_there_was_none(bench: Any) -> None:
    bench.make_safe()
    set_own(bench, OwnMeasure.STEAM, high="40")
    basis.use_todays(bench.act(at=bench.now()), bench.job)
    reading = bench.read("steam_ready", "41")
    assert (reading.outcome, reading.limit_words, reading.source) == (
        Outcome.FAIL,
        "40 s or less",
        "our own limit",
    )


@pytest.mark.parametrize(
    ("measure", "ends", "code", "passes", "fails"),
    [
        (OwnMeasure.PRESSURE, ("9", None), "pressure", "9", "8.9"),  # the place's 12 bar still stands above
        (OwnMeasure.WATTS, ("95", None), "watts_heating", "1330", "1329"),  # 95 % of 1,400 W
        (OwnMeasure.READY, (None, "15"), "ready", "15", "15.1"),
        (INSULATION, ("1", None), "insulation", "1", "0.99"),
    ],
)
def test_bands_of_the_bench_and_shares_of_the_plate(
    bench: Any, measure: OwnMeasure, ends: tuple[str | None, str | None], code: str, passes: str, fails: str
) -> None:
    set_own(bench, measure, *ends)
    bench.make_safe()
    assert bench.read(code, passes).outcome == Outcome.PASS
    assert bench.read(code, fails).outcome == Outcome.FAIL


def test_brewing_water_keeps_its_spread_beside_our_own_ends(bench: Any) -> None:
    set_own(bench, OwnMeasure.BREW_WATER, low="90")
    bench.make_safe()
    for lowest, highest, outcome in (
        ("90", "94", Outcome.PASS),
        ("89.9", "94", Outcome.FAIL),
        ("90", "95.1", Outcome.FAIL),  # more than 5 °C apart
    ):
        assert bench.read("brew_water", series=bench.draws(lowest, "92", highest, "93", "92")).outcome == outcome


@pytest.mark.parametrize(
    ("measure", "ends", "code", "passes", "fails"),
    [
        (OwnMeasure.PRESSURE_SHOT, ("8.5", None), "pressure_shot", "8.5", "8.4"),
        (OwnMeasure.HOT_WATER, ("90", None), "hot_water", "90", "89.9"),
        (OwnMeasure.WATTS_PUMPING, ("90", None), "watts_pumping", "43.2", "43.1"),  # 90 % of 48 W
    ],
)
def test_the_bands_of_the_full_set_take_our_own_limits_too(
    bench: Any, measure: OwnMeasure, ends: tuple[str | None, str | None], code: str, passes: str, fails: str
) -> None:
    ModelNotes.objects.filter(pk=bench.job.machine.notes_id).update(pump_watts=48)
    set_own(bench, measure, *ends)
    bench.make_safe()
    assert bench.read(code, passes).outcome == Outcome.PASS
    assert bench.read(code, fails).outcome == Outcome.FAIL


def test_our_own_limit_on_steam_is_a_share_of_the_boilers_watts(bench: Any) -> None:
    ModelNotes.objects.filter(pk=bench.job.machine.notes_id).update(boiler_watts=1200)
    set_own(bench, OwnMeasure.STEAM_POWER, low="75")  # 900 W
    bench.make_safe()
    jug = {"liquid": "water", "grams": Decimal(250), "start_c": Decimal(14), "end_c": Decimal(60)}
    assert bench.read("steam_power", inputs=jug | {"time_s": Decimal(53)}).outcome == Outcome.PASS  # 907 W
    assert bench.read("steam_power", inputs=jug | {"time_s": Decimal(54)}).outcome == Outcome.FAIL  # 890 W


def test_the_page_of_the_limits_shows_what_each_band_of_the_full_set_comes_to(bench: Any) -> None:
    lines = pages_limits.limits_page(PROFILES["record_only"], PROFILES["record_only"]).bench
    shown = {line.title: line.figure for line in lines}
    assert shown["Watts when pumping, against the pump's plate"] == "80 to 120 %"
    assert shown["Steam power, against the boiler's watts"] == "50 % or more"
    assert shown["Seconds until the group stops dripping"] == "5 s or less"


@pytest.mark.parametrize(
    ("measure", "low", "high", "field"),
    [
        (EARTH, None, None, "high"),  # nothing typed
        (OwnMeasure.PRESSURE, "11", "10", "high"),  # ends the wrong way round
        (EARTH, "0.05", None, "low"),
        (EARTH, "0.05", "0.1", "low"),
        (OwnMeasure.LEAKAGE, "1", None, "low"),
        (OwnMeasure.TOUCH, "0.1", None, "low"),
        (INSULATION, None, "1", "high"),
        (OwnMeasure.HOT_WATER, None, "85", "high"),
        (OwnMeasure.STEAM_POWER, None, "60", "high"),
        (OwnMeasure.READY, "10", None, "low"),
    ],
)
def test_a_limit_that_is_none_is_refused(
    bench: Any, measure: OwnMeasure, low: str | None, high: str | None, field: str
) -> None:
    with pytest.raises(Refused) as refused:
        set_own(bench, measure, low, high, "the old one was a slip")
    assert (refused.value.field, LimitRow.objects.exists()) == (field, False)


@pytest.mark.parametrize("reason", ["x", "x x x", "because", "- - -"])
def test_a_reason_of_a_word_loosens_nothing(bench: Any, reason: str) -> None:
    with pytest.raises(Refused, match="three words or more") as refused:
        set_own(bench, INSULATION, low="0.2", because=reason)
    assert refused.value.field == "reason"
    assert not LimitRow.objects.exists()


def test_a_wrong_end_says_which_box_to_leave_empty(client_in: Any) -> None:
    typed = {"measure": "earth_ohm", "low": "0.05", "high": "", "reason": ""}
    page = client_in.post("/our-workshop/limits/add/", typed).content.decode()
    assert "Earth path has a highest only: leave the lowest empty." in page
    assert 'value="0.05"' in page


def test_stricter_on_class_one_leaves_class_two_its_own_figure(bench: Any) -> None:
    set_own(bench, INSULATION, low="1")  # Class I with a heater 0.3, Class II 2.0 megohm
    bench.job.machine.appliance_class = "class_ii"
    bench.job.machine.save()
    assert limit_words(bench, "insulation") == "2.0 megohm or more"


def test_where_the_law_has_no_limit_our_own_is_judged_by(bench: Any, shop: Any) -> None:
    shop.profile = "us_record"
    shop.save()
    us = PROFILES["us_record"]
    own_limits.set_limit(bench.act(at=bench.now()), us, EARTH, low=None, high=Decimal("0.2"), reason="")
    assert bench.read("earth", "0.21").outcome == Outcome.FAIL
    assert bench.read("earth", "0.2").outcome == Outcome.PASS


def test_only_the_owner_sets_a_limit_and_takes_it_back(bench: Any, technician: Any) -> None:
    row_entry = set_own(bench, EARTH, high="0.1")
    row = LimitRow.objects.get(pk=int(row_entry.subject.rsplit(":", 1)[1]))
    mine = bench.act(by=technician, at=bench.now())
    with pytest.raises(Refused, match="Only the owner"):
        own_limits.set_limit(mine, UK, EARTH, low=None, high=Decimal("0.1"), reason="")
    with pytest.raises(Refused, match="Only the owner"):
        own_limits.strike_limit(mine, row)


def test_taking_one_back_lets_the_one_before_count_again(bench: Any) -> None:
    set_own(bench, EARTH, high="0.12")
    entry = set_own(bench, EARTH, high="0.1")
    UNDO["set_own_limit"](bench.act(at=bench.now()), entry)
    assert limit_words(bench, "earth") == "0.12 ohm or less"
    with pytest.raises(Refused, match="taken back already"):
        UNDO["set_own_limit"](bench.act(at=bench.now()), entry)


def test_limits_of_another_profile_do_not_count_here(bench: Any, shop: Any) -> None:
    set_own(bench, EARTH, high="0.1")
    shop.profile = "de_en50678"
    shop.save()
    assert limit_words(bench, "earth") == "0.3 ohm or less"


# --- machines under way ----------------------------------------------------------------------------------


def test_a_machine_under_way_keeps_the_limits_it_began_with(bench: Any) -> None:
    bench.read("case_shut")  # its first reading
    set_own(bench, EARTH, high="0.1")
    assert bench.read("earth", "0.12").outcome == Outcome.PASS
    assert limit_words(bench, "earth") == "0.129 ohm or less"
    fresh = factories.KettleJobFactory()
    assert type(bench)(fresh, bench.act, 500).read("earth", "0.12").outcome == Outcome.FAIL


def test_a_limit_taken_back_since_still_counts_where_it_was_begun_with(bench: Any) -> None:
    entry = set_own(bench, EARTH, high="0.1")
    bench.read("case_shut")
    UNDO["set_own_limit"](bench.act(at=bench.now()), entry)
    assert limit_words(bench, "earth") == "0.1 ohm or less"
    assert bench.facts.kept.differs


def test_a_machine_under_way_keeps_its_profile_when_the_workshop_changes_its_own(bench: Any, shop: Any) -> None:
    bench.read("case_shut")
    shop.profile = "aunz_5761"
    shop.save()
    assert limit_words(bench, "earth") == "0.129 ohm or less"
    basis.use_todays(bench.act(at=bench.now()), bench.job)
    assert limit_words(bench, "earth") == "1.0 ohm or less"


def test_a_machine_under_way_keeps_the_version_it_began_with(bench: Any, monkeypatch: Any) -> None:
    bench.read("case_shut")
    later = profiles.Profile("uk_iet_5", UK.title, "6th edition", 2, ("GB",), record_only=True)
    monkeypatch.setattr("workshop.bench.facts.prove.read.PROFILES", PROFILES | {"uk_iet_5": later})
    assert (bench.facts.unit.profile.version, bench.facts.kept.differs) == (1, True)
    other = type(bench)(factories.KettleJobFactory(), bench.act, 500)
    assert other.facts.unit.profile.edition == "6th edition"


def test_todays_limits_hold_what_was_read_before_and_can_be_undone(bench: Any) -> None:
    bench.read("case_shut")
    bench.read("earth", "0.12")
    set_own(bench, EARTH, high="0.1")
    entry = basis.use_todays(bench.act(at=bench.now()), bench.job)
    assert bench.state("earth") is ItemState.FAILED
    assert limit_words(bench, "earth") == "0.1 ohm or less"
    UNDO["use_todays_limits"](bench.act(at=bench.now()), entry)
    assert bench.state("earth") is ItemState.PASSED


def test_todays_limits_are_offered_only_where_they_differ(bench: Any) -> None:
    bench.read("case_shut")
    with pytest.raises(Refused, match="today's limits already"):
        basis.use_todays(bench.act(at=bench.now()), bench.job)


def test_the_first_reading_alone_writes_down_the_limits(bench: Any) -> None:
    bench.read("case_shut")
    bench.read("visual")
    row = ProveBasis.objects.get()
    assert (row.profile, row.profile_version, row.at) == ("uk_iet_5", 1, NOON + timedelta(minutes=1))


def test_machines_that_began_before_limits_were_kept_are_given_their_workshops_profile(bench: Any) -> None:
    """What the migration does: the first reading's person and time, once a job."""
    factories.KettleJobFactory()  # not begun
    for minutes in (1, 2):
        Reading.objects.create(
            job=bench.job, card="water", item="debit", title="Water", value=80, unit="ml", outcome="RECORDED",
            by=bench.act().by, at=NOON + timedelta(minutes=minutes),
        )  # fmt: skip
    import_module("workshop.bench.migrations.0007_limits").machines_under_way(apps, None)
    row = ProveBasis.objects.get()
    assert (row.job, row.profile, row.at) == (bench.job, "uk_iet_5", NOON + timedelta(minutes=1))


def test_each_row_of_prove_shows_the_limit_it_is_held_against(bench: Any, client_in: Any, kettle: str) -> None:
    """Under way: the limits it began with. Today's: electrical at once, others when read again."""
    bench.make_safe()
    bench.read("pressure", "8.9")
    set_own(bench, EARTH, high="0.1")
    set_own(bench, OwnMeasure.PRESSURE, low="9")
    page = client_in.get(f"/machines/{kettle}/prove/").content.decode()
    assert "This machine is held against those above." in page
    assert (limit_words(bench, "earth"), limit_words(bench, "pressure")) == ("0.129 ohm or less", "8.5 to 12 bar")
    basis.use_todays(bench.act(at=bench.now()), bench.job)
    assert (limit_words(bench, "earth"), limit_words(bench, "pressure")) == ("0.1 ohm or less", "8.5 to 12 bar")
    assert bench.read("pressure", "8.9").outcome == Outcome.FAIL
    assert limit_words(bench, "pressure") == "9 to 12 bar"


def test_a_reading_that_lapsed_shows_the_limit_it_will_be_read_by(bench: Any) -> None:
    bench.read("case_shut")
    bench.read("earth", "0.09")
    set_own(bench, EARTH, high="0.1")
    bench.open_case()
    bench.shut_case()
    basis.use_todays(bench.act(at=bench.now()), bench.job)
    assert bench.state("earth") is ItemState.WITHDRAWN
    assert limit_words(bench, "earth") == "0.1 ohm or less"
    row = next(r for c in bench_report.report(bench.job).cards for r in c.rows if r.what.startswith("Earth"))
    assert (row.limit, row.ended) == ("0.129 ohm or less", "not proved: the case was opened since")


# --- pages -----------------------------------------------------------------------------------------------


def test_the_page_says_each_limit_its_source_and_how_it_was_seen(client_in: Any, bench: Any) -> None:
    set_own(bench, EARTH, high="0.1")
    page = client_in.get("/our-workshop/limits/").content.decode()
    for words in ("0.129 ohm or less", "How it was seen: second-hand", "5th edition, 2020", "0.1 ohm or less", "Ana"):
        assert words in page


@pytest.mark.parametrize("code", list(PROFILES))
def test_every_profile_has_its_page(client_in: Any, code: str) -> None:
    response = client_in.get("/our-workshop/limits/", {"profile": code})
    assert response.status_code == 200
    assert PROFILES[code].title in response.content.decode()


def test_a_wider_limit_keeps_what_was_typed_and_says_where(client_in: Any) -> None:
    typed = {"measure": "earth_ohm", "low": "", "high": "0,25", "reason": ""}
    response = client_in.post("/our-workshop/limits/add/", typed)
    assert response.status_code == 422
    page = response.content.decode()
    assert 'value="0,25"' in page
    assert "Say why: it prints with the reading." in page
    assert client_in.post("/our-workshop/limits/add/", typed | {"reason": "our cords are long"}).status_code == 302
    assert LimitRow.objects.get().high == Decimal("0.25")


def test_a_double_press_is_one_limit(client_in: Any) -> None:
    typed = {"measure": "pressure", "low": "9", "high": "", "reason": "", "key": "pressed-twice"}
    for _ in range(2):
        assert client_in.post("/our-workshop/limits/add/", typed).status_code == 302
    assert LimitRow.objects.count() == 1
    assert JournalEntry.objects.filter(verb="set_own_limit").count() == 1


def test_a_technician_reads_the_limits_and_cannot_set_them(technician_in: Any) -> None:
    page = technician_in.get("/our-workshop/limits/").content.decode()
    assert "Set our own limit" not in page
    assert technician_in.post("/our-workshop/limits/add/", {"measure": "pressure", "low": "9"}).status_code == 403


def test_prove_says_the_edition_and_offers_todays_limits(client_in: Any, bench: Any, kettle: str) -> None:
    bench.read("case_shut")
    page = client_in.get(f"/machines/{kettle}/prove/").content.decode()
    assert "5th edition, 2020, as they stood on 12 May 2026." in page
    assert "Use today&#x27;s limits" not in page
    assert "Use today's limits" not in page
    set_own(bench, EARTH, high="0.1")
    assert "Use today's limits" in client_in.get(f"/machines/{kettle}/prove/").content.decode()
    assert client_in.post(f"/machines/{kettle}/prove/todays-limits/", {"key": "k"}).status_code == 302
    assert limit_words(bench, "earth") == "0.1 ohm or less"


def test_the_page_asks_equally_often_for_one_limit_and_for_thirty(bench: Any, django_assert_num_queries: Any) -> None:
    with django_assert_num_queries(1):
        pages_limits.limits_page(UK, UK)
    for _ in range(30):
        set_own(bench, EARTH, high="0.1")
    with django_assert_num_queries(1):
        pages_limits.limits_page(UK, UK)


def test_taking_a_limit_back_a_second_time_says_so(bench: Any, client_in: Any) -> None:
    set_own(bench, EARTH, high="0.1")
    where = f"/our-workshop/limits/{LimitRow.objects.get().pk}/strike/"
    client_in.post(where, {"key": "one page"})
    response = client_in.post(where, {"key": "another page"})
    assert response.status_code == 422
    assert "This limit was taken back already." in response.content.decode()
    assert LimitRow.objects.count() == 2
