"""Robust middles against a textbook sample, and the median's interval against scipy."""

from decimal import ROUND_DOWN, Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from workshop.trade.money.comparables import (
    Interval,
    huber,
    huber_location,
    median,
    median_interval,
    scaled_mad,
    shrunk_minor,
    summary,
)

D = Decimal
# Venables & Ripley, MASS, section 5.5: "chem", copper in flour; its published values as statsmodels' own test
# suite (robust/tests/test_scale.py) keeps them.
LOW = "2.20 2.20 2.4 2.4 2.5 2.7 2.8 2.9 3.03 3.03 3.10 3.37 "
HIGH = "3.4 3.4 3.4 3.5 3.6 3.7 3.7 3.7 3.7 3.77 5.28 28.95"
CHEM = [D(value) for value in (LOW + HIGH).split()]
prices = st.lists(st.integers(100, 200000), min_size=3, max_size=25)


def test_median_and_mad_of_the_textbook_sample() -> None:
    assert median(CHEM) == D("3.385")
    assert round(scaled_mad(CHEM), 5) == D("0.52632")


def test_hubers_two_locations_of_the_textbook_sample() -> None:
    both = huber(CHEM)
    # printed cut at five places, not rounded
    assert both.location.quantize(D("0.00001"), ROUND_DOWN) == D("3.20549")
    assert both.scale.quantize(D("0.00001"), ROUND_DOWN) == D("0.67365")
    assert round(huber_location(CHEM), 5) == D("3.20672")  # MASS::huber, scale held at the MAD


def test_one_wild_price_moves_the_mean_but_not_the_middle() -> None:
    calm, wild = [40000, 41000, 42000, 43000, 44000], [40000, 41000, 42000, 43000, 440000]
    assert summary(calm).median_minor == summary(wild).median_minor == 42000
    assert (summary(calm).robust_minor, sum(wild) // 5) == (42000, 121200)
    assert 42000 < (summary(wild).robust_minor or 0) < 44000


@pytest.mark.parametrize("values", [CHEM, [D(n) for n in (400, 410, 420, 430, 4400)], [D(1), D(2), D(9)]])
def test_hubers_pair_solves_its_two_equations(values: list[Decimal]) -> None:
    # Huber's proposal 2 as two equations, handed to scipy's root finder from a start of its own
    x, n, k = np.array([float(value) for value in values]), len(values), 1.5
    kept = stats.norm.expect(lambda z: np.clip(z, -k, k) ** 2)

    def off(at: Any) -> list[float]:
        z = np.clip((x - at[0]) / at[1], -k, k)
        return [z.sum(), (z**2).sum() - (n - 1) * kept]

    ours = huber(values)
    theirs = optimize.root(off, [np.median(x), float(ours.scale) * 1.1], tol=1e-12)
    assert theirs.success
    assert [float(ours.location), float(ours.scale)] == pytest.approx(list(theirs.x), rel=1e-6)


def test_two_prices_give_a_range_and_no_interval() -> None:
    told = summary([40000, 36000])
    assert (told.count, told.low_minor, told.high_minor, told.median_minor) == (2, 36000, 40000, 38000)
    assert (told.interval, told.robust_minor) == (None, None)
    assert median_interval([1, 2]) is None


def test_three_prices_hold_the_middle_three_times_in_four() -> None:
    assert summary([40000, 36000, 50000]).interval == Interval(36000, 50000, D("0.75"))


@settings(deadline=None)
@given(st.lists(st.integers(100, 200000), min_size=3, max_size=40, unique=True))
def test_the_interval_is_the_tightest_that_holds_often_enough(values: list[int]) -> None:
    found, n = median_interval(values), len(values)
    assert found is not None
    depth = sorted(values).index(found.low_minor) + 1
    assert sorted(values)[n - depth] == found.high_minor
    held = [1 - 2 * stats.binom.cdf(j - 1, n, 0.5) for j in range(1, n // 2 + 1)]
    assert float(found.chance) == pytest.approx(held[depth - 1], abs=1e-12)
    assert depth == max(j for j, chance in enumerate(held, 1) if chance >= 0.75 - 1e-12)


@settings(deadline=None)
@given(prices)
def test_mad_as_scipy_has_it(values: list[int]) -> None:
    theirs = stats.median_abs_deviation(values) * 1.4826
    assert float(scaled_mad([D(value) for value in values])) == pytest.approx(theirs, rel=1e-12)


@settings(deadline=None)
@given(prices, st.integers(1, 100000))
def test_a_dearer_market_moves_every_middle_by_the_same(values: list[int], dearer: int) -> None:
    before, after = (huber([D(value + add) for value in values]) for add in (0, dearer))
    assert float(after.location - before.location) == pytest.approx(dearer, rel=1e-6, abs=1e-3)
    assert float(after.scale) == pytest.approx(float(before.scale), rel=1e-6, abs=1e-3)


@settings(deadline=None)
@given(prices)
def test_the_middle_stays_inside_the_range(values: list[int]) -> None:
    told = summary(values)
    assert told.robust_minor is not None
    assert told.low_minor <= told.robust_minor <= told.high_minor
    assert told.low_minor <= told.median_minor <= told.high_minor


@settings(deadline=None)
@given(prices)
def test_the_held_scale_location_solves_hubers_equation(values: list[int]) -> None:
    numbers = [D(value) for value in values]
    scale = scaled_mad(numbers)
    assume(scale > 0)
    at = huber_location(numbers)
    assert abs(float(sum(min(max((value - at) / scale, D("-1.5")), D("1.5")) for value in numbers))) < 1e-5


def test_equal_prices_have_no_spread() -> None:
    told = huber([D(5), D(5), D(5), D(9)])
    assert (told.location, told.scale, huber_location([D(5), D(5), D(5), D(9)])) == (D(5), D(0), D(5))


def test_a_small_group_is_drawn_to_the_pool() -> None:
    # Z = n / (n + 3): one price of 500 against a pool of 400 says 425, three say 450, none says the pool
    assert [shrunk_minor(50000, count, 40000) for count in (0, 1, 3)] == [40000, 42500, 45000]


def test_a_baseball_season_shrunk() -> None:
    # Efron & Morris (1975): pool .265, c = 0.212, so .400 becomes .294; Z = n/(n + k) = c for n = 45 at k = 167.264
    trust = 45 * (1 - D("0.212")) / D("0.212")
    assert shrunk_minor(400, 45, 265, trust) == 294  # in thousandths


def test_nothing_to_learn_from() -> None:
    with pytest.raises(ValueError, match="no price"):
        summary([])
    with pytest.raises(ValueError, match="no value"):
        median([])
    with pytest.raises(ValueError, match="not below zero"):
        shrunk_minor(1, -1, 1)
