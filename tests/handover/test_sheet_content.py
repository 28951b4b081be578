"""The frozen snapshot: out and back without loss, the same text for the same content, never a float."""

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from handover.sheet import (
    BigFigure,
    Dial,
    DialKind,
    Grinder,
    Paper,
    SheetContent,
    join,
    plain,
    say_date,
)
from tests.handover import sheet_examples as examples

EXAMPLES = [examples.heat_exchanger(), examples.lever_valve(), examples.thermoblock(Paper.LETTER, 12)]


@pytest.mark.parametrize("content", EXAMPLES)
def test_a_snapshot_comes_back_whole(content: SheetContent) -> None:
    text = content.to_json()
    back = SheetContent.from_json(text)
    assert back == content
    assert back.to_json() == text


def test_decimals_keep_the_places_they_were_written_with() -> None:
    figures = examples.heat_exchanger().settings.figures
    settled = replace(examples.heat_exchanger().settings, figures=(BigFigure(Decimal("16.50"), "g", "in"), *figures))
    back = SheetContent.from_json(replace(examples.heat_exchanger(), settings=settled).to_json())
    assert str(back.settings.figures[0].value) == "16.50"
    assert str(back.settings.figures[0]) == "16.5\u00a0g"


def test_keys_stand_in_a_fixed_order() -> None:
    raw = json.loads(examples.heat_exchanger().to_json())
    assert list(raw) == sorted(raw)
    assert raw["issued_on"] == "2026-05-14"
    assert raw["paper"] == "A4"


def _floats(value: Any) -> list[float]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        return [found for part in value for found in _floats(part)]
    return [value] if isinstance(value, float) else []


def test_no_float_is_kept() -> None:
    assert [_floats(json.loads(content.to_json())) for content in EXAMPLES] == [[], [], []]


@pytest.mark.parametrize("value", [16.5, ["list"], b"bytes"])
def test_a_foreign_value_is_not_kept(value: Any) -> None:
    wrong = replace(examples.heat_exchanger(), serial=value)
    with pytest.raises(TypeError, match="cannot hold"):
        wrong.to_json()


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"serial": 5}, r"SheetContent\.serial: expected str, found int"),
        ({"number": "1"}, r"SheetContent\.number: expected int, found str"),
        ({"number": True}, r"SheetContent\.number: expected int, found bool"),
        ({"number": 1.5}, "no bare fractions"),
        ({"paper": "A5"}, r"SheetContent\.paper: 'A5' is not a Paper"),
        ({"issued_on": "14 May"}, r"SheetContent\.issued_on"),
        ({"extra": "x"}, "the parts differ at extra"),
        ({"steps": "x"}, r"SheetContent\.steps: expected list"),
        ({"condition": {"score": "high", "marks": []}}, r"SheetContent\.condition\.score"),
    ],
)
def test_a_spoilt_snapshot_says_where(change: dict[str, Any], fault: str) -> None:
    raw = json.loads(examples.heat_exchanger().to_json()) | change
    with pytest.raises(ValueError, match=fault):
        SheetContent.from_json(json.dumps(raw))


def test_a_missing_part_is_named() -> None:
    raw = json.loads(examples.heat_exchanger().to_json())
    del raw["serial"]
    with pytest.raises(ValueError, match="the parts differ at serial"):
        SheetContent.from_json(json.dumps(raw))


def test_our_own_grinders_number_is_refused() -> None:
    with pytest.raises(ValueError, match="our own grinder means nothing"):
        Grinder(built_in=False, setting="12")


def test_our_own_grinders_chart_is_refused() -> None:
    ours = replace(examples.heat_exchanger().settings, grinder=Grinder(built_in=False))
    with pytest.raises(ValueError, match="leave it out"):
        replace(examples.heat_exchanger(), settings=ours)


@pytest.mark.parametrize(("kind", "end"), [(DialKind.ZONE, None), (DialKind.CLOCK, Decimal(3))])
def test_a_dial_has_the_ends_of_its_kind(kind: DialKind, end: Decimal | None) -> None:
    with pytest.raises(ValueError, match="two ends"):
        Dial(kind, "Gauge", "10 to 2", Decimal(10), end)


def test_numbers_and_dates_are_said_plainly() -> None:
    assert [plain(Decimal(text)) for text in ("18.00", "17.50", "100", "0.0")] == ["18", "17.5", "100", "0"]
    assert join(Decimal("17.50"), "g") == "17.5\u00a0g"
    assert say_date(date(2026, 5, 4)) == "4 May 2026"
