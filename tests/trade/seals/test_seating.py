"""Lock-in position from own units, against scipy; compression set against a worked example."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import linregress

from workshop.trade.seals.seating import SeatingPoint, compression_set_percent, learn_lock_in

positions = st.decimals(0, 180, places=1)
thicknesses = st.decimals("7.0", "9.5", places=1)


def points(*pairs):
    return [SeatingPoint(Decimal(thickness), Decimal(position)) for thickness, position in pairs]


def test_two_gaskets_give_degrees_for_each_millimetre():
    """8.0 mm locks at 95 degrees, 8.5 mm at 80: each millimetre takes 30 degrees."""
    learnt = learn_lock_in(points(("8.0", "95"), ("8.5", "80")))
    assert learnt.degrees_per_mm == -30
    assert learnt.position_deg(Decimal("8.2")) == 89
    assert learnt.thickness_mm(Decimal(89)) == Decimal("8.20")
    assert learnt.widest_miss_deg is None
    assert not learnt.beyond_tried(Decimal("8.5"))
    assert learnt.beyond_tried(Decimal("8.6"))


def test_more_units_agree_with_an_independent_fit():  # scipy.stats.linregress
    pairs = [("8.0", "96"), ("8.2", "88"), ("8.5", "81"), ("8.5", "79"), ("9.0", "64")]
    learnt = learn_lock_in(points(*pairs))
    other = linregress([float(a) for a, _ in pairs], [float(b) for _, b in pairs])
    assert float(learnt.degrees_per_mm) == pytest.approx(other.slope)
    assert float(learnt.position_deg(Decimal("8.7"))) == pytest.approx(other.intercept + 8.7 * other.slope, abs=0.051)
    misses = [abs(float(b) - other.intercept - other.slope * float(a)) for a, b in pairs]
    assert float(learnt.widest_miss_deg) == pytest.approx(max(misses), abs=0.051)
    assert learnt.points == 5


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(thicknesses, thicknesses, positions, positions)
def test_two_points_are_both_on_the_line(thin, thick, one, other):
    if thin == thick:
        thick += 1
    learnt = learn_lock_in([SeatingPoint(thin, one), SeatingPoint(thick, other)])
    assert learnt.position_deg(thin) == one
    assert learnt.position_deg(thick) == other


@pytest.mark.parametrize("pairs", [(), (("8.0", "95"),), (("8.0", "95"), ("8.0", "93"))])
def test_one_thickness_predicts_nothing(pairs):
    with pytest.raises(ValueError, match="different thickness"):
        learn_lock_in(points(*pairs))


def test_a_gasket_has_a_thickness():
    with pytest.raises(ValueError, match="above nought"):
        learn_lock_in(points(("0", "95"), ("8", "90")))


def test_a_thickness_that_moves_nothing_cannot_be_asked_for():
    learnt = learn_lock_in(points(("8.0", "90"), ("8.5", "90")))
    with pytest.raises(ValueError, match="does not move"):
        learnt.thickness_mm(Decimal(80))


def test_compression_set_of_a_worn_ring():  # ISO 815-1 formula, worked: 3.53 new, 3.10 worn, 2.87 squeezed
    found = compression_set_percent(new_mm=Decimal("3.53"), worn_mm=Decimal("3.10"), squeezed_mm=Decimal("2.87"))
    assert found == pytest.approx(Decimal(65), abs=Decimal("0.2"))


@pytest.mark.parametrize(("worn_mm", "percent"), [("8.5", "0.0"), ("8.0", "50.0"), ("7.5", "100.0")])
def test_as_new_half_way_and_quite_flat(worn_mm, percent):
    asked = {"new_mm": Decimal("8.5"), "worn_mm": Decimal(worn_mm), "squeezed_mm": Decimal("7.5")}
    assert compression_set_percent(**asked) == Decimal(percent)


@pytest.mark.parametrize(
    ("new_mm", "worn_mm", "squeezed_mm"), [("8", "8", "8"), ("8", "8", "9"), ("0", "8", "7"), ("8", "0", "7")]
)
def test_a_seal_that_was_never_squeezed_has_no_set(new_mm, worn_mm, squeezed_mm):
    with pytest.raises(ValueError, match=r"above nought|less than"):
        compression_set_percent(new_mm=Decimal(new_mm), worn_mm=Decimal(worn_mm), squeezed_mm=Decimal(squeezed_mm))
