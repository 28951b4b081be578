"""Figures and dates as each language writes them. Expected values: common practice of each language, from memory."""

from datetime import date
from decimal import Decimal

import pytest
from django.utils import translation

from handover import saying
from workshop.trade import scales

N = "\u00a0"
FIRST, LATE = date(2026, 5, 1), date(2026, 12, 14)


@pytest.mark.parametrize(
    ("language", "long", "first", "short", "day"),
    [
        ("en", "14 December 2026", "1 May 2026", f"14{N}Dec{N}2026", f"14{N}Dec"),
        ("de", "14. Dezember 2026", "1. Mai 2026", f"14.{N}Dez.{N}2026", f"14.{N}Dez."),
        ("fr", "14 décembre 2026", "1er mai 2026", f"14{N}déc.{N}2026", f"14{N}déc."),
        ("it", "14 dicembre 2026", "1º maggio 2026", f"14{N}dic{N}2026", f"14{N}dic"),
        ("es", "14 de diciembre de 2026", "1 de mayo de 2026", f"14{N}dic{N}2026", f"14{N}dic"),
    ],
)
def test_dates(language, long, first, short, day):
    with translation.override(language):
        assert saying.say_date(LATE) == long
        assert saying.say_date(FIRST) == first
        assert saying.say_short(LATE) == short
        assert saying.say_day(LATE) == day


@pytest.mark.parametrize(
    ("language", "said"), [("en", "16.5"), ("de", "16,5"), ("fr", "16,5"), ("it", "16,5"), ("es", "16,5")]
)
def test_figures(language, said):
    with translation.override(language):
        assert saying.plain(Decimal("16.50")) == said
        assert saying.plain(Decimal("18.00")) == "18"
        assert saying.join(Decimal("16.50"), "g") == f"{said}{N}g"
        assert saying.join(4, "mm") == f"4{N}mm"


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("de", ["2 Uhr", "Viertel nach 2", "halb 3", "Viertel vor 3", "12 Uhr", "halb 1", "Viertel vor 1"]),
        ("fr", ["2 h", "2 h 15", "2 h 30", "3 h moins le quart", "12 h", "12 h 30", "1 h moins le quart"]),
        ("it", ["ore 2", "2 e un quarto", "2 e mezza", "3 meno un quarto", "ore 12", "12 e mezza", "1 meno un quarto"]),
        ("es", ["las 2", "2 y cuarto", "2 y media", "3 menos cuarto", "las 12", "12 y media", "1 menos cuarto"]),
    ],
)
def test_a_place_on_a_clock_face(language, said):
    with translation.override(language):
        assert [saying.say_clock(Decimal(at)) for at in ("2", "2.25", "2.5", "2.75", "0", "0.5", "0.75")] == said


@pytest.mark.parametrize(
    ("language", "said"),
    [("en", "£1,250.00"), ("de", f"1.250,00{N}£"), ("fr", f"1{N}250,00{N}£"), ("it", f"1.250,00{N}£"),
     ("es", f"1{N}250,00{N}£")],
)  # fmt: skip
def test_money(language, said):
    with translation.override(language):
        assert saying.say_money(125_000, "GBP").replace("\u202f", N) == said
        assert saying.say_money(-900, "JPY") == ("-¥900" if language == "en" else f"-900{N}¥")


def test_in_english_a_clock_face_is_said_as_the_bench_says_it():
    for quarter in range(48):
        at_h = Decimal(quarter) / 4

        with translation.override("en"):
            assert saying.say_clock(at_h) == scales.say(scales.CLOCK_FACE, at_h)
