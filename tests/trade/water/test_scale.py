"""Scale per litre and the descale interval, against printed tables and PHREEQC."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.trade.water import phreeqc_bench
from workshop.trade.water.saturation import langelier_index
from workshop.trade.water.scale import (
    Draw,
    closed_form_mg_per_l,
    deposit_g,
    descale_interval,
    scale_mg_per_l,
    upper_bound_mg_per_l,
)

waters = st.decimals(min_value=0, max_value=600, places=1)
heats = st.decimals(min_value=5, max_value=140, places=1)
rises = st.decimals(min_value=0, max_value=200, places=1)


def interval(**changed):
    """A day of two litres of hard water through a brew path, with what the test changes."""
    usual = {"hardness_mg_l": 280, "alkalinity_mg_l": 250, "temp_c": 93, "litres_per_day": 2}
    return descale_interval(**{name: Decimal(value) for name, value in (usual | changed).items()})


# Insanely Long Water FAQ, section 1.6: cells of the printed tables at 95 and 125 C, whole mg/L.
@pytest.mark.parametrize(
    ("hardness", "alkalinity", "temp_c", "printed"),
    [
        (50, 75, 95, 8),
        (100, 50, 95, 2),
        (100, 100, 95, 42),
        (150, 125, 95, 73),
        (200, 150, 95, 102),
        (250, 200, 95, 152),
        (300, 250, 95, 202),
        (25, 75, 125, 10),
        (50, 100, 125, 35),
    ],
)
def test_the_form_gives_the_printed_cells(hardness, alkalinity, temp_c, printed):
    found = closed_form_mg_per_l(Decimal(hardness), Decimal(alkalinity), Decimal(temp_c))
    assert found == pytest.approx(Decimal(printed), abs=Decimal("1.1"))


def test_a_forum_reading_of_the_table():  # H 120, A 80: about 30 mg/L
    assert scale_mg_per_l(Decimal(120), Decimal(80), Decimal(95)) == pytest.approx(Decimal(30), abs=Decimal(2))


def test_the_month_worked_in_the_faq():  # section 1.7: 2.11 g
    draws = [
        Draw(Decimal("5.4"), Decimal(125)),
        Draw(Decimal("16.2"), Decimal(95)),
        Draw(Decimal("3.6"), Decimal(95)),
        Draw(Decimal("0.61"), None),
    ]
    month_g = deposit_g(hardness_mg_l=Decimal(175), alkalinity_mg_l=Decimal(125), draws=draws)
    assert month_g == pytest.approx(Decimal("2.11"), abs=Decimal("0.03"))


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(st.decimals(min_value=100, max_value=400, places=0), st.decimals(min_value=90, max_value=400, places=0))
def test_what_is_left_after_scaling_stands_at_index_nought(hardness, alkalinity):
    """The form is the Langelier index at nought, with the pH that air leaves and solids equal to hardness."""
    dropped = closed_form_mg_per_l(hardness, alkalinity, Decimal(95))
    left_hardness, left_alkalinity = hardness - dropped, alkalinity - dropped
    ph = Decimal("1.465") * left_alkalinity.log10() + Decimal("4.54")  # Puckorius
    index = langelier_index(
        ph=ph,
        tds_mg_l=left_hardness,
        calcium_mg_l=left_hardness,
        alkalinity_mg_l=left_alkalinity,
        temp_c=Decimal(95),
    )
    if dropped > 0:
        assert abs(index) <= Decimal("0.04")
    else:
        assert index <= Decimal("0.01")


# Calcium, magnesium, alkalinity (mg/L as CaCO3) and pH of four waters, soft to hard.
@pytest.mark.parametrize("temp_c", [93, 125])
@pytest.mark.parametrize("water", [(68, 0, 40, 7.0), (150, 0, 34, 7.5), (112, 38, 125, 7.7), (280, 20, 250, 7.4)])
def test_never_less_scale_than_phreeqc_finds_in_a_closed_boiler(water, temp_c):
    calcium, magnesium, alkalinity, _ph = water
    ours = scale_mg_per_l(Decimal(calcium + magnesium), Decimal(alkalinity), Decimal(temp_c))
    second_opinion = phreeqc_bench.calcite_dropped_mg_l(*water, temp_c)
    assert second_opinion <= ours <= alkalinity


def test_the_bare_form_would_have_missed_scale_in_soft_water():
    """Why the floor is there: hardness 150, alkalinity 34 at 93 C."""
    assert closed_form_mg_per_l(Decimal(150), Decimal(34), Decimal(93)) == 0
    assert phreeqc_bench.calcite_dropped_mg_l(150, 0, 34, 7.5, 93) > 5
    assert scale_mg_per_l(Decimal(150), Decimal(34), Decimal(93)) == 7


# A drip-machine manual (maker withheld): 0-7 dH 6 months, 7-14 3, 14-21 1.5, over 21 1; class mid values.
def test_the_worst_case_falls_with_hardness_as_a_manual_says():
    mid_dh, months = (
        [Decimal("3.5"), Decimal("10.5"), Decimal("17.5"), Decimal(25)],
        [6, 3, Decimal("1.5"), 1],
    )
    litres = [
        interval(hardness_mg_l=dh * Decimal("17.848"), alkalinity_mg_l=dh * Decimal("17.848")).worst_case_litres
        for dh in mid_dh
    ]
    litres_a_month = sum(volume / month for volume, month in zip(litres, months, strict=True)) / 4
    for volume, month in zip(litres, months, strict=True):
        assert volume / litres_a_month == pytest.approx(Decimal(month), rel=Decimal("0.3"))


def test_hard_water_is_ended_by_scale():
    hard = interval(hardness_mg_l=300)
    assert not hard.capped
    assert hard.scale_mg_per_l == pytest.approx(Decimal(200), abs=2)  # FAQ form for this water: 200
    assert hard.litres == pytest.approx(Decimal("12.5"), abs=Decimal("0.2"))
    assert hard.days == 6
    assert hard.worst_case_litres == 10  # 2.5 g over 250 mg/L


def test_soft_water_is_ended_by_the_calendar():
    soft = interval(hardness_mg_l=5, alkalinity_mg_l=5)
    assert soft.capped
    assert (soft.days, soft.litres, soft.worst_case_litres) == (180, 360, 500)


def test_water_without_hardness_has_no_worst_case():
    nothing = interval(hardness_mg_l=0)
    assert (nothing.scale_mg_per_l, nothing.capped, nothing.worst_case_litres) == (0, True, None)


def test_never_more_often_than_daily():
    assert interval(litres_per_day=50).days == 1


def test_twice_the_scale_allowed_is_twice_the_litres():
    assert interval(limit_g=5).litres == pytest.approx(2 * interval().litres, abs=Decimal("0.2"))


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(waters, waters, heats, rises)
def test_harder_water_never_gives_a_longer_interval(hardness, alkalinity, temp_c, more):
    before = interval(hardness_mg_l=hardness, alkalinity_mg_l=alkalinity, temp_c=temp_c)
    harder = interval(hardness_mg_l=hardness + more, alkalinity_mg_l=alkalinity, temp_c=temp_c)
    more_alkaline = interval(hardness_mg_l=hardness, alkalinity_mg_l=alkalinity + more, temp_c=temp_c)
    assert harder.days <= before.days
    assert harder.litres <= before.litres
    assert more_alkaline.days <= before.days
    assert more_alkaline.litres <= before.litres


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(waters, waters, st.decimals(min_value=5, max_value=100, places=1), st.decimals(0, 50, places=1))
def test_hotter_water_never_scales_less_nor_more_than_there_is(hardness, alkalinity, temp_c, hotter):
    cool = scale_mg_per_l(hardness, alkalinity, temp_c)
    hot = scale_mg_per_l(hardness, alkalinity, temp_c + hotter)
    assert 0 <= cool <= hot <= upper_bound_mg_per_l(hardness, alkalinity)


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(st.decimals(min_value="0.1", max_value=30, places=1), st.decimals(min_value=0, max_value=30, places=1))
def test_more_use_never_gives_more_days(litres, more):
    assert interval(litres_per_day=litres + more).days <= interval(litres_per_day=litres).days


@pytest.mark.parametrize(
    "bad",
    [
        {"hardness_mg_l": -1},
        {"alkalinity_mg_l": "NaN"},
        {"temp_c": 151},
        {"litres_per_day": 0},
        {"limit_g": 0},
        {"cap_days": 0},
    ],
)
def test_bad_values_are_refused_in_a_sentence(bad):
    with pytest.raises(ValueError, match=r"^The .*\.$"):
        interval(**bad)
