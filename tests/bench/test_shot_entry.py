"""What is noted of a shot beside dose, yield and time; what is asked about; and the page a wet thumb presses."""

import re
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from tests.bench.factories import ShotFactory
from workshop.bench import pages_shots
from workshop.bench.models import Coffee, Shot
from workshop.bench.undo import UNDO
from workshop.bench.words import Taste
from workshop.core.acts import Odd, Refused
from workshop.core.models import JournalEntry, ModelNotes

TODAY = date(2026, 5, 12)  # the day of the bench fixture
SHOT = {"setting": "12", "dose_g": "17.5", "yield_g": "35", "time_s": "27"}


@pytest.fixture
def safe(bench: Any) -> Any:
    bench.make_safe()
    return bench


def rows(bench: Any) -> list[pages_shots.ShotRow]:
    return pages_shots.rows(bench.facts.dial_in)


# --- what is kept ----------------------------------------------------------------------------------------


def test_what_was_seen_and_tasted_stands_under_the_shot_in_plain_words(safe: Any) -> None:
    safe.pull(
        "12", "27", first_drip_s=Decimal("6.2"), gauge_from="10:00", gauge_to="half past one", flow="STRINGS",
        crema="FULL", spouts="EVEN", tastes=["SWEET", "SOUR"], note="a little fast at the end.",
    )  # fmt: skip
    assert rows(safe)[0].more == (
        "First drip 6.2\u00a0s. Gauge 10 o'clock to half past 1, strings, full crema, spouts even. Sour, sweet. "
        "A little fast at the end."
    )


def test_a_shot_of_five_numbers_has_nothing_under_it(safe: Any) -> None:
    safe.pull("12", "27")
    assert rows(safe)[0].more == ""


@pytest.mark.parametrize(
    ("dose", "out", "tds", "printed"),
    [
        ("20", "40", "10", "20"),  # a roaster's page on theory
        ("18", "36", "9", "18"),  # a calculator's worked example
        ("20", "40", "9.25", "18.5"),  # a barista against a volumetric machine
        ("20", "40", "10.237", "20.5"),  # Schmieder et al. (2023), table S3: 4.09473 g dissolved in 40 g
    ],
)
def test_extraction_yield_stands_beside_the_strength(safe: Any, dose: str, out: str, tds: str, printed: str) -> None:
    safe.pull("12", "28", dose=dose, out=out, tds_percent=Decimal(tds))
    assert f"extraction {printed}\u00a0%" in rows(safe)[0].more


def test_a_gauge_with_numbers_is_kept_in_bar(safe: Any) -> None:
    safe.pull("12", "27", gauge_bar=Decimal("9.2"))
    assert rows(safe)[0].more == "Gauge 9.2\u00a0bar."


def test_a_needle_that_stood_still_has_one_place(safe: Any) -> None:
    safe.pull("12", "27", gauge_from="12")
    assert rows(safe)[0].more == "Gauge 12 o'clock."


def test_the_database_holds_the_words_to_their_lists(safe: Any) -> None:
    for wrong in ({"flow": "POURS"}, {"crema": "BROWN"}, {"spouts": "LEFT"}, {"tastes": "SOUR LEMON"}):
        with pytest.raises(IntegrityError), transaction.atomic():
            ShotFactory(job=safe.job, **wrong)
    ShotFactory(job=safe.job, tastes=" ".join(Taste.values))


def test_a_shot_taken_out_and_put_back_keeps_all_that_was_seen(safe: Any) -> None:
    entry = safe.pull("12", "27", tds_percent=Decimal("9.5"), tastes=["HEAVY"], first_drip_s=Decimal(7))
    before = rows(safe)[0].more
    UNDO["strike_shot"](safe.act(at=safe.now()), UNDO["add_shot"](safe.act(at=safe.now()), entry))
    assert rows(safe)[0].more == before != ""


# --- what cannot be, and what hardly is ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seen", "field"),
    [
        ({"first_drip_s": Decimal("27.1")}, "first_drip_s"),  # after the pump stopped
        ({"tds_percent": Decimal(9), "out": "0"}, "tds_percent"),  # nothing in the cup to measure
        ({"gauge_to": "2 o'clock"}, "gauge_from"),
        ({"gauge_from": "thirteen"}, "gauge_from"),
        ({"gauge_from": "10", "gauge_to": "25:99"}, "gauge_to"),
        ({"new_coffee": "house", "roasted_on": date(2026, 5, 13)}, "roasted_on"),  # tomorrow
        ({"new_coffee": "house", "opened_on": date(2026, 5, 13)}, "opened_on"),
        ({"new_coffee": "house", "roasted_on": date(2026, 5, 2), "opened_on": date(2026, 5, 1)}, "opened_on"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_box(safe: Any, seen: dict[str, Any], field: str) -> None:
    with pytest.raises(Refused) as refused:
        safe.pull("12", "27", **seen)
    assert refused.value.field == field
    assert not isinstance(refused.value, Odd)
    assert not Shot.objects.exists()
    assert not Coffee.objects.exists()


def test_a_drip_at_the_very_end_is_kept(safe: Any) -> None:
    safe.pull("12", "27", first_drip_s=Decimal(27))
    assert Shot.objects.get().first_drip_s == 27


@pytest.mark.parametrize(
    ("seconds", "seen", "field"),
    [
        ("4.9", {}, "time_s"),
        ("120.1", {}, "time_s"),
        ("27", {"tds_percent": Decimal("3.9")}, "tds_percent"),
        ("27", {"tds_percent": Decimal("20.1")}, "tds_percent"),
        ("27", {"gauge_bar": Decimal("16.1")}, "gauge_bar"),
    ],
)
def test_numbers_outside_the_house_bands_are_asked_about_once(
    safe: Any, seconds: str, seen: dict[str, Any], field: str
) -> None:
    with pytest.raises(Odd, match="Press again to record it") as asked:
        safe.pull("12", seconds, **seen)
    assert asked.value.field == field
    assert not Shot.objects.exists()
    safe.pull("12", seconds, sure=asked.value.about, **seen)
    assert Shot.objects.count() == 1


@pytest.mark.parametrize(("seconds", "tds"), [("5", "4"), ("120", "20")])
def test_the_ends_of_the_bands_are_not_asked_about(safe: Any, seconds: str, tds: str) -> None:
    safe.pull("12", seconds, tds_percent=Decimal(tds))
    assert Shot.objects.count() == 1


def test_two_odd_numbers_are_asked_about_together(safe: Any) -> None:
    with pytest.raises(Odd) as asked:
        safe.pull("12", "3", dose="40", out="80")
    assert (len(asked.value.reasons), asked.value.field) == (2, "")
    safe.pull("12", "3", dose="40", out="80", sure=asked.value.about)


def test_yes_to_one_strength_is_no_yes_to_another(safe: Any) -> None:
    with pytest.raises(Odd) as asked:
        safe.pull("12", "27", tds_percent=Decimal(95))
    with pytest.raises(Odd):
        safe.pull("12", "27", tds_percent=Decimal(59), sure=asked.value.about)


# --- the first after a change ----------------------------------------------------------------------------


def test_the_first_shot_after_the_grinder_moved_is_left_out_unless_somebody_says_otherwise(safe: Any) -> None:
    for setting, spoilt in (("12", None), ("12", None), ("11", None), ("11", None), ("10", False)):
        safe.pull(setting, "27", spoilt=spoilt)
    kept = [(s.setting_words, s.spoilt, s.why_spoilt) for s in Shot.objects.current()]
    assert kept == [
        ("12", False, ""),
        ("12", False, ""),
        ("11", True, "first after a change"),
        ("11", False, ""),
        ("10", False, ""),
    ]
    assert rows(safe)[2].words == "left out, first after a change"
    assert safe.facts.dial_in.fit().left_out == 1
    assert "left out of the advice" in JournalEntry.objects.filter(verb="add_shot")[2].sentence


def test_the_same_place_in_other_words_is_no_change(safe: Any) -> None:
    ModelNotes.objects.update(grind_scale="clock", grind_low=7, grind_high=5, grind_step="0.25", grind_finer="HIGHER")
    safe.pull("half past two", "27", spoilt=None)
    safe.pull("2:30", "27", spoilt=None)
    assert not Shot.objects.filter(spoilt=True).exists()


# --- the bag ---------------------------------------------------------------------------------------------


def test_the_bag_is_remembered_with_the_days_it_is_open(safe: Any) -> None:
    safe.pull("12", "27", new_coffee="House beans", roast_words="medium", basket="Double",
              roasted_on=date(2026, 5, 2), opened_on=date(2026, 5, 9))  # fmt: skip
    assert pages_shots.carried(safe.facts.dial_in, TODAY) == (
        "As at shot 1: grinder at 12, Double, House beans, medium, roasted 2 May, opened 9 May, open 3 days."
    )


def test_the_day_it_was_opened_is_filled_in_later_and_another_day_is_another_bag(safe: Any) -> None:
    safe.pull("12", "27", new_coffee="House beans", roasted_on=date(2026, 5, 2))
    bag = Coffee.objects.get()
    safe.pull("12", "27", coffee=bag, opened_on=date(2026, 5, 9))
    assert Coffee.objects.get().opened_on == date(2026, 5, 9)
    safe.pull("12", "27", coffee=bag, opened_on=date(2026, 5, 11))
    opened = [shot.coffee.opened_on.day for shot in Shot.objects.order_by("pk").select_related("coffee")]
    assert opened == [9, 9, 11]


def test_one_bag_is_one_row_also_where_its_days_are_not_known(safe: Any) -> None:
    Coffee.objects.create(words="House beans")
    with pytest.raises(IntegrityError), transaction.atomic():
        Coffee.objects.create(words="House beans")
    Coffee.objects.create(words="House beans", opened_on=TODAY)


# --- the page --------------------------------------------------------------------------------------------


def page_of(client: Any, kettle: str) -> str:
    return str(client.get(f"/machines/{kettle}/shots/").content.decode())


def add(client: Any, kettle: str, **typed: Any) -> Any:
    return client.post(f"/machines/{kettle}/shots/add/", {**SHOT, **typed})


def box(html: str, name: str) -> str:
    found = re.search(rf'<input[^>]*name="{name}"[^>]*>', html)
    assert found is not None, name
    return found.group()


def test_what_did_not_change_is_carried_over_and_no_reading_ever_is(client_in: Any, kettle: str, safe: Any) -> None:
    add(client_in, kettle, first_drip_s="6,2", tds_percent="9,5 %", flow="DRIPS", tastes=["SOUR"], basket="Double")
    html = page_of(client_in, kettle)
    assert 'value="12"' in box(html, "setting")
    assert 'value="Double"' in box(html, "basket")
    for reading in ("dose_g", "yield_g", "time_s", "first_drip_s", "tds_percent", "note"):
        assert 'value="' not in box(html, reading)
    chosen = re.findall(r'<input[^>]*value="(\w+)"[^>]*checked', html)
    assert chosen == []  # of flow, crema and spouts "not noted" is pressed in, which has no value


def test_the_form_takes_all_that_a_wet_thumb_presses(client_in: Any, kettle: str, safe: Any) -> None:
    assert add(client_in, kettle, flow="GUSH", crema="NONE", spouts="UNEVEN", tastes=["HARSH", "WATERY"],
               first_drip_s="4", counts="SPOILT", why_spoilt="sprayed", tds_percent="8").status_code == 302  # fmt: skip
    shot = Shot.objects.get()
    assert (shot.flow, shot.crema, shot.spouts, shot.tastes) == ("GUSH", "NONE", "UNEVEN", "HARSH WATERY")
    assert (shot.spoilt, shot.why_spoilt, shot.first_drip_s) == (True, "sprayed", 4)


@pytest.mark.parametrize(
    ("pressed", "spoilt"), [({}, True), ({"counts": "YES"}, False), ({"counts": "AFTER_CHANGE"}, True)]
)
def test_one_press_says_that_a_shot_after_a_change_counts(
    client_in: Any, kettle: str, safe: Any, pressed: dict[str, str], spoilt: bool
) -> None:
    add(client_in, kettle)
    add(client_in, kettle, setting="11", **pressed)
    shot = Shot.objects.get(number=2)
    assert (shot.spoilt, shot.why_spoilt) == (spoilt, "first after a change" if spoilt else "")


def test_a_reason_beside_a_shot_that_counts_is_asked_to_be_cleared(client_in: Any, kettle: str, safe: Any) -> None:
    answer = add(client_in, kettle, counts="YES", why_spoilt="sprayed")
    assert answer.status_code == 422
    assert "Press Spoilt too" in answer.content.decode()
    assert 'value="sprayed"' in answer.content.decode()
    assert not Shot.objects.exists()


@pytest.mark.parametrize(
    ("notes", "asked"),
    [
        ({"has_gauge": False}, set()),
        ({"has_gauge": True, "gauge_from": ""}, {"gauge_bar"}),
        ({"has_gauge": True, "gauge_from": "10 o'clock", "gauge_to": "2 o'clock"}, {"gauge_from", "gauge_to"}),
    ],
)
def test_the_gauge_is_asked_for_in_its_own_words(
    client_in: Any, kettle: str, safe: Any, notes: dict[str, Any], asked: set[str]
) -> None:
    ModelNotes.objects.update(**notes)
    assert set(re.findall(r'name="(gauge_\w+)"', page_of(client_in, kettle))) == asked


def test_a_double_press_is_one_shot(client_in: Any, kettle: str, safe: Any) -> None:
    for _ in range(2):
        assert add(client_in, kettle, key="one-press", tastes=["SOUR"]).status_code == 302
    assert Shot.objects.count() == 1


def test_nothing_typed_is_lost_when_a_shot_is_refused(client_in: Any, kettle: str, safe: Any) -> None:
    html = add(client_in, kettle, setting="40", first_drip_s="6.2", note="fast", tastes=["SOUR"], flow="GUSH")
    kept = html.content.decode()
    assert 'value="6.2"' in box(kept, "first_drip_s")
    assert 'value="fast"' in box(kept, "note")
    assert re.findall(r'<input[^>]*value="(\w+)"[^>]*checked', kept) == ["GUSH", "SOUR"]


def test_no_two_buttons_are_called_the_same_and_none_is_heard_otherwise_than_seen(
    client_in: Any, kettle: str, safe: Any
) -> None:
    for _ in range(3):
        safe.pull("12", "27")
    html = page_of(client_in, kettle)
    main = html[html.index("<main") : html.index("</main>")]
    buttons = re.findall(r"<button([^>]*)>(.*?)</button>", main, re.S)
    names = [" ".join(re.sub(r"<[^>]+>", " ", inside).split()) for _, inside in buttons]
    assert len(names) == len(set(names)) >= 9, names
    assert all("aria-label" not in attributes for attributes, _ in buttons)
    assert all('class="hidden"' not in inside for _, inside in buttons)
    labels = re.findall(r"<label[^>]*>(.*?)</label>", main, re.S)
    said = [" ".join(re.sub(r"<[^>]+>", " ", label).split()) for label in labels]
    assert len(said) == len(set(said)), said
    assert not {one.casefold() for one in said} & {name.casefold() for name in names}


def test_the_page_takes_the_same_queries_at_one_shot_and_at_thirty(client_in: Any, kettle: str, safe: Any) -> None:
    def queries() -> int:
        with CaptureQueriesContext(
            connection,
        ) as seen:
            page_of(client_in, kettle)
        return len(seen)

    safe.pull("12", "27", new_coffee="House beans", tastes=["SOUR"], tds_percent=Decimal(9))
    few = queries()
    for at in range(29):
        safe.pull("12", "27", new_coffee=f"Beans {at}", tastes=["SOUR"], tds_percent=Decimal(9))
    assert queries() == few
