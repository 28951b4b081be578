"""Squeeze, stretch, fill and thinning against published gland tables and worked examples."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.seals.gland import (
    GlandCode,
    GlandUse,
    fill_percent,
    judge_gland,
    squeeze_percent,
    squeeze_range_percent,
    stretch_percent,
    thinning_percent,
)

# Apple Rubber gland tables: section and tolerance, depth range, printed squeeze range, width without backup.
STATIC_RADIAL = [
    ("1.78", "0.08", "1.27", "1.40", 18, 32, "2.41"),
    ("2.62", "0.08", "2.03", "2.18", 14, 25, "3.56"),
    ("3.53", "0.10", "2.79", "2.95", 14, 23, "4.57"),
    ("5.33", "0.13", "4.32", "4.47", 14, 21, "7.11"),
    ("6.99", "0.15", "5.72", "5.97", 13, 20, "9.40"),
]
STATIC_FACE = [
    ("1.78", "0.08", "1.24", "1.37", 19, 33, "2.41"),
    ("2.62", "0.08", "1.91", "2.06", 19, 29, "3.56"),
    ("3.53", "0.10", "2.54", "2.74", 20, 30, "4.57"),
    ("5.33", "0.13", "3.94", "4.19", 20, 28, "7.11"),
    ("6.99", "0.15", "5.21", "5.42", 20, 27, "9.40"),
]
DYNAMIC = [
    ("1.78", "0.08", "1.40", "1.45", 15, 25, "2.41"),
    ("2.62", "0.08", "2.21", "2.29", 10, 18, "3.68"),
    ("3.53", "0.10", "3.02", "3.12", 9, 17, "4.70"),
    ("5.33", "0.13", "4.65", "4.78", "8.5", 15, "7.24"),
    ("6.99", "0.15", "5.94", "6.10", "10.5", 17, "9.52"),
]
lengths = st.decimals("0.5", 60, places=2)


@pytest.mark.parametrize(
    ("section", "tol", "depth_low", "depth_high", "least", "most", "width"), STATIC_RADIAL + STATIC_FACE + DYNAMIC
)
def test_the_squeeze_of_a_published_gland(section, tol, depth_low, depth_high, least, most, width):
    found = squeeze_range_percent(
        section_mm=Decimal(section),
        section_tol_mm=Decimal(tol),
        depth_low_mm=Decimal(depth_low),
        depth_high_mm=Decimal(depth_high),
    )
    assert found[0] == pytest.approx(Decimal(least), abs=Decimal("1.3"))
    assert found[1] == pytest.approx(Decimal(most), abs=Decimal("1.3"))


@pytest.mark.parametrize(
    ("row", "use"),
    [(row, GlandUse.STATIC) for row in STATIC_RADIAL] + [(row, GlandUse.DYNAMIC) for row in DYNAMIC],
)
def test_every_published_radial_gland_is_sound_at_mid_depth(row, use):
    section, _, depth_low, depth_high, _, _, width = row
    verdict = judge_gland(
        section_mm=Decimal(section),
        depth_mm=(Decimal(depth_low) + Decimal(depth_high)) / 2,
        width_mm=Decimal(width),
        use=use,
    )
    assert verdict.codes == (GlandCode.SQUEEZE_OK, GlandCode.FILL_OK)
    assert verdict.sound
    assert 65 <= verdict.fill_percent <= 82  # the computed nominal fills are 70 to 81


def test_worked_examples_of_a_gland_design_document():
    """Section 3.53 in 2.90 deep: 17.8 %; groove 50 on 47.22: 5.9 %; on 50.17: -0.34 %."""
    assert squeeze_percent(section_mm=Decimal("3.53"), depth_mm=Decimal("2.90")) == Decimal("17.85")
    assert stretch_percent(id_mm=Decimal("47.22"), groove_d_mm=Decimal(50)) == Decimal("5.89")
    assert stretch_percent(id_mm=Decimal("50.17"), groove_d_mm=Decimal(50)) == Decimal("-0.34")


def test_ring_025_round_a_path_of_101_42_mm():
    """bd_warehouse docstring: installed centre line 101.42 mm on size 025 is a stretch of 0.020."""
    free_path = Decimal("3.14159265") * (Decimal("29.87") + Decimal("1.78"))
    assert stretch_percent(id_mm=free_path, groove_d_mm=Decimal("101.42")) == pytest.approx(
        Decimal("2.0"), abs=Decimal("0.05")
    )


# The empirical fit tabulated: stretch, thinning, and what constant volume would give.
@pytest.mark.parametrize(
    ("stretch", "thinning", "constant_volume"),
    [
        (1, "0.97", "0.50"),
        (2, "1.73", "0.99"),
        (3, "2.29", "1.47"),
        (5, "3.39", "2.41"),
        (8, "4.99", "3.77"),
        (10, "6.00", "4.65"),
        (15, "8.38", "6.75"),
        (20, "10.52", "8.71"),
        (25, "12.44", "10.56"),
    ],
)
def test_thinning_as_tabulated_and_never_under_constant_volume(stretch, thinning, constant_volume):
    found = thinning_percent(Decimal(stretch))
    assert found == pytest.approx(Decimal(thinning), abs=Decimal("0.011"))
    by_volume = 100 * (1 - 1 / (1 + Decimal(stretch) / 100).sqrt())
    assert by_volume == pytest.approx(Decimal(constant_volume), abs=Decimal("0.01"))
    assert found > by_volume


def test_the_two_branches_join_at_three_per_cent():
    assert thinning_percent(Decimal("3.00")) == Decimal("2.29")
    assert thinning_percent(Decimal("3.001")) == Decimal("2.29")


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(st.decimals(-5, 24, places=2), st.decimals(0, 1, places=2))
def test_more_stretch_never_thickens(stretch, more):
    assert 0 <= thinning_percent(stretch) <= thinning_percent(stretch + more)


def judged(**changed):
    """A 3.53 ring of 24.99 mm in a sound static groove, with what the test changes."""
    usual = {"section_mm": "3.53", "depth_mm": "2.85", "width_mm": "4.57", "id_mm": "24.99", "groove_d_mm": "25.4"}
    use = changed.pop("use", GlandUse.STATIC)
    return judge_gland(use=use, **{name: Decimal(value) for name, value in (usual | changed).items()})


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"depth_mm": "3.30"}, GlandCode.SQUEEZE_LOW),
        ({"depth_mm": "2.00"}, GlandCode.SQUEEZE_HIGH),
        ({"depth_mm": "2.40", "use": GlandUse.DYNAMIC}, GlandCode.SQUEEZE_HIGH),
        ({"groove_d_mm": "24.5"}, GlandCode.STRETCH_LOOSE),
        ({"groove_d_mm": "26.5"}, GlandCode.STRETCH_HIGH),
        ({"width_mm": "6"}, GlandCode.FILL_LOW),
        ({"width_mm": "3.7"}, GlandCode.FILL_HIGH),
        ({"width_mm": "3.4"}, GlandCode.FILL_OVER),
    ],
)
def test_each_fault_is_named(changed, code):
    verdict = judged(**changed)
    assert code in verdict.codes
    assert not verdict.sound


def test_a_sound_gland_counts_the_thinned_section():
    verdict = judged()
    assert verdict.codes == (GlandCode.SQUEEZE_OK, GlandCode.STRETCH_OK, GlandCode.FILL_OK)
    assert verdict.stretch_percent == Decimal("1.64")
    assert verdict.thinning_percent == Decimal("1.48")
    assert verdict.squeeze_percent < squeeze_percent(section_mm=Decimal("3.53"), depth_mm=Decimal("2.85"))


def test_the_bands_include_their_ends():
    assert judged(section_mm="10", depth_mm="9", width_mm="10.7", groove_d_mm="24.99").codes[0] is (
        GlandCode.SQUEEZE_OK
    )
    assert judged(section_mm="10", depth_mm="9.01", width_mm="10.7", groove_d_mm="24.99").codes[0] is (
        GlandCode.SQUEEZE_LOW
    )


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(lengths, lengths, lengths, st.decimals("0.1", 10, places=2))
def test_a_deeper_groove_never_squeezes_or_fills_more(section, depth, width, deeper):
    shallow, deep = depth, depth + deeper
    assert squeeze_percent(section_mm=section, depth_mm=deep) <= squeeze_percent(section_mm=section, depth_mm=shallow)
    assert fill_percent(section_mm=section, depth_mm=deep, width_mm=width) <= fill_percent(
        section_mm=section, depth_mm=shallow, width_mm=width
    )


@pytest.mark.parametrize("bad", ["0", "-1", "NaN"])
def test_a_measure_of_nothing_is_refused(bad):
    with pytest.raises(ValueError, match="above nought"):
        squeeze_percent(section_mm=Decimal(bad), depth_mm=Decimal(1))
    with pytest.raises(ValueError, match="above nought"):
        stretch_percent(id_mm=Decimal(1), groove_d_mm=Decimal(bad))


def test_thinning_is_not_guessed_past_its_fit():
    with pytest.raises(ValueError, match="25 per cent"):
        thinning_percent(Decimal("25.1"))
