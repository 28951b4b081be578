"""Values that hardly are: asked about once, recorded at a second press; nonsense is refused. Bands: house policy."""

import re
from decimal import Decimal
from typing import Any

import pytest

from tests.bench.factories import KettleJobFactory
from workshop.bench.models import Shot
from workshop.core.acts import Odd, Refused
from workshop.core.models import Reading

ODD = [
    ("watts_heating", "2101"),  # over 1.5 x 1,400 W
    ("watts_heating", "699"),  # under 0.5 x 1,400 W
    ("pressure", "16.1"),
    ("steam_ready", "0"),
    ("ready", "0"),
]
USUAL = [("watts_heating", "2100"), ("watts_heating", "700"), ("pressure", "16"), ("steam_ready", "0.5")]


@pytest.fixture
def safe(bench: Any) -> Any:
    bench.make_safe()
    return bench


@pytest.mark.parametrize(("code", "value"), ODD)
def test_an_odd_value_is_asked_about_and_recorded_at_a_second_press(safe: Any, code: str, value: str) -> None:
    with pytest.raises(Odd, match="Is that what it shows") as asked:
        safe.read(code, value)
    assert not Reading.objects.filter(item=code).exists()
    assert safe.read(code, value, sure=asked.value.about).value == Decimal(value)


@pytest.mark.parametrize(("code", "value"), USUAL)
def test_the_ends_of_each_band_are_not_asked_about(safe: Any, code: str, value: str) -> None:
    assert safe.read(code, value).value == Decimal(value)


@pytest.mark.parametrize(("low", "high"), [("59.9", "92"), ("92", "105.1")])
def test_brewing_water_far_off_is_asked_about(safe: Any, low: str, high: str) -> None:
    with pytest.raises(Odd, match="hardly water for coffee"):
        safe.read("brew_water", series=safe.draws(low, "92", "92", "92", high))
    assert safe.read("brew_water", series=safe.draws("60", "92", "92", "92", "105")).outcome == "FAIL"


@pytest.mark.parametrize(("value", "asked"), [("39.9", True), ("40", False), ("160", False), ("160.1", True)])
def test_water_through_is_held_against_the_model_s_usual(safe: Any, value: str, asked: bool) -> None:
    earlier = KettleJobFactory(machine__notes=safe.job.machine.notes)
    Reading.objects.create(
        job=earlier, card="water", item="debit", title="Water", value=Decimal(80), unit="ml", outcome="RECORDED",
        by=safe.act().by, at=safe.now(),
    )  # fmt: skip
    if asked:
        with pytest.raises(Odd, match="far from the usual 80"):
            safe.read("debit", value)
    else:
        assert safe.read("debit", value).value == Decimal(value)


def test_yes_to_one_value_is_no_yes_to_another(safe: Any) -> None:
    with pytest.raises(Odd):
        safe.read("pressure", "92", sure="91")


def test_more_watts_than_any_home_machine_are_refused_for_good(safe: Any) -> None:
    with pytest.raises(Refused, match="no machine of a home") as refused:
        safe.read("watts_heating", "20001", sure="20,001")
    assert not isinstance(refused.value, Odd)


@pytest.mark.parametrize(
    ("dose", "out", "asked"),
    [
        ("28.1", "56", True),  # over 1.6 x 17.5 g
        ("28", "56", False),
        ("10.4", "21", True),  # under 0.6 x 17.5 g
        ("10.5", "21", False),
        ("17.5", "105.1", True),  # longer than 1 : 6
        ("17.5", "105", False),
        ("17.5", "13.9", True),  # shorter than 1 : 0.8
        ("17.5", "14", False),
        ("17.5", "0", False),  # choked
    ],
)
def test_a_dose_or_a_ratio_far_off_is_asked_about(safe: Any, dose: str, out: str, asked: bool) -> None:
    if asked:
        with pytest.raises(Odd, match="Press again to record it") as question:
            safe.pull("12", "27", dose=dose, out=out)
        assert not Shot.objects.exists()
        safe.pull("12", "27", dose=dose, out=out, sure=question.value.about)
    else:
        safe.pull("12", "27", dose=dose, out=out)
    assert Shot.objects.get().dose_g == Decimal(dose)


def test_the_card_keeps_the_box_and_its_button_says_yes(client_in: Any, kettle: str, safe: Any) -> None:
    path = f"/machines/{kettle}/cards/water/pressure/read/"
    response = client_in.post(path, {"value": "92", "version": "0"})
    page = response.content.decode()
    assert response.status_code == 422
    assert "Yes, that is what it shows" in page
    assert re.search(r'name="value" value="92"', page)
    sure = re.search(r'name="sure" value="([^"]+)"', page)
    assert sure is not None
    assert client_in.post(path, {"value": "92", "version": "0", "sure": sure.group(1)}).status_code == 302
    assert Reading.objects.get(item="pressure").outcome == "FAIL"


def test_the_shots_page_asks_the_same_way(client_in: Any, kettle: str, safe: Any) -> None:
    path, shot = f"/machines/{kettle}/shots/add/", {"setting": "12", "dose_g": "1.8", "yield_g": "35", "time_s": "27"}
    page = client_in.post(path, shot)
    sure = re.search(r'name="sure" value="([^"]+)"', page.content.decode())
    assert page.status_code == 422
    assert sure is not None
    assert "Yes, record this shot" in page.content.decode()
    assert client_in.post(path, {**shot, "sure": sure.group(1)}).status_code == 302
