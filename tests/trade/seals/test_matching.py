"""From a worn ring to its likely sizes."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.seals.matching import match, ring_mass_g
from workshop.trade.seals.sizes import Standard, as568

known_sizes = st.sampled_from(as568())


def matched(id_mm, flat_mm, wide_mm, groove_d_mm=None):
    return match(
        id_mm=Decimal(id_mm),
        section_a_mm=Decimal(flat_mm),
        section_b_mm=Decimal(wide_mm),
        groove_d_mm=None if groove_d_mm is None else Decimal(groove_d_mm),
    )


def dashes(found):
    return [candidate.size.dash for candidate in found.candidates]


def test_a_flattened_214_is_found_with_its_metric_twins():
    """3.10 by 3.95 mm has the area of 3.50; 3.5, 3.53 and 3.55 cannot be told apart."""
    found = matched("25.1", "3.10", "3.95")
    assert dashes(found) == ["25x3.5", "214", "25x3.55"]
    assert found.tie
    assert found.candidates[1].section_error_mm == Decimal("-0.03")
    assert found.candidates[1].id_error_mm == Decimal("0.11")
    assert found.candidates[0].stretch_percent is None


def test_the_two_ways_across_may_come_in_either_order():
    assert matched("25.1", "3.95", "3.10") == matched("25.1", "3.10", "3.95")


@pytest.mark.parametrize(("inch_mm", "metric_mm"), [("1.78", "1.8"), ("2.62", "2.65"), ("3.53", "3.55")])
def test_sections_a_caliper_cannot_tell_apart_come_as_a_tie(inch_mm, metric_mm):
    section = next(size for size in as568() if size.section_mm == Decimal(inch_mm) and size.id_mm > 20)
    found = matched(str(section.id_mm), inch_mm, inch_mm)
    near = [one.size.section_mm for one in found.candidates[:3]]
    assert found.tie
    assert found.candidates[0].size == section
    assert Decimal(metric_mm) in near


def test_a_small_ring_far_from_any_half_millimetre_is_no_tie():
    """-001 is 0.74 x 1.02 mm: the nearest metric ring is more than a tolerance off."""
    found = matched("0.74", "1.02", "1.02")
    assert found.candidates[0].size.dash == "001"
    assert not found.tie


def test_the_groove_rules_out_what_would_hang_loose():
    """A ring read as 25.9 mm on a groove of 25.5: free, it was no larger than its groove."""
    found = matched("25.9", "3.5", "3.5", groove_d_mm="25.5")
    assert {one.size.dash for one in found.candidates} == {"25.5x3.5", "25.5x3.55"}
    assert all(0 <= one.stretch_percent <= 5 for one in found.candidates)
    assert "26x3.5" in dashes(matched("25.9", "3.5", "3.5"))


def test_a_standard_section_thinner_than_the_flat_way_is_out():
    """Wear only flattens: a ring still 2.75 mm across its flat way was no 2.65."""
    found = matched("20", "2.75", "2.80")
    assert Decimal("2.62") not in {one.size.section_mm for one in found.candidates}
    assert matched("20", "2.66", "2.72").candidates[0].size.section_mm == Decimal("2.65")


def test_nothing_near_is_said_as_nothing():
    found = matched("24.99", "9.5", "9.6")
    assert (found.candidates, found.tie) == ((), False)


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(known_sizes)
def test_an_unworn_ring_is_always_found_first_or_in_a_tie(size):
    found = match(id_mm=size.id_mm, section_a_mm=size.section_mm, section_b_mm=size.section_mm)
    best = found.candidates[0]
    assert best.score == 0
    assert size in {one.size for one in found.candidates if one.score == 0}


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(known_sizes, st.decimals("-0.5", "0.5", places=2), st.decimals("0.92", 1, places=2))
def test_candidates_are_ranked_and_within_three_tolerances(size, off, flat):
    found = match(
        id_mm=max(Decimal("0.3"), size.id_mm + off),
        section_a_mm=size.section_mm * flat,
        section_b_mm=size.section_mm / flat,
    )
    scores = [one.score for one in found.candidates]
    assert scores == sorted(scores)
    assert all(abs(one.id_error_mm) <= 3 * one.size.id_tol_mm + Decimal("0.01") for one in found.candidates)


def test_both_tables_are_looked_in():
    assert {one.size.standard for one in matched("25", "3.5", "3.56").candidates} == set(Standard)


def test_ring_214_in_peroxide_rubber_weighs_about_a_gram():  # 1.008 g at 1.15 g/cm3, worked by hand
    mass = ring_mass_g(id_mm=Decimal("24.99"), section_mm=Decimal("3.53"), density_g_cm3=Decimal("1.15"))
    assert mass == Decimal("1.008")


@pytest.mark.parametrize(
    "bad", [("0", "3.5", "3.5"), ("25", "-1", "3.5"), ("25", "3.5", "NaN"), ("25", "3.5", "3.5", "0")]
)
def test_a_measure_that_cannot_be_is_refused(bad):
    with pytest.raises(ValueError, match="must be above nought"):
        matched(*bad)


def test_a_ring_of_nothing_has_no_mass():
    with pytest.raises(ValueError, match="above nought"):
        ring_mass_g(id_mm=Decimal(0), section_mm=Decimal(1), density_g_cm3=Decimal(1))
