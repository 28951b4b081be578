"""Shares that come back, against Bayesian textbooks and scipy; expected values against published questions."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special, stats

from workshop.trade.money.warranty import (
    HOUSE_PRIOR,
    Prior,
    beta_quantile,
    beta_share,
    come_back_rate,
    expected_value_minor,
    mean_claim_minor,
    reserve,
    reserve_minor,
)

D = Decimal


def test_the_textbook_share_of_girls_born() -> None:
    # Gelman et al., BDA3, chapter 2: uniform prior, 437 of 980 -> Beta(438, 544): mean .446, 95 % .415 to .477
    rate = come_back_rate(437, 980, Prior(D(1), D(1)), D("0.95"))
    assert (round(rate.mean, 3), round(rate.low, 3), round(rate.high, 3)) == (D("0.446"), D("0.415"), D("0.477"))


def test_a_batting_average() -> None:
    # a Beta-distribution tutorial: prior Beta(81, 219), 100 of 300 -> Beta(181, 419), mean .3017
    assert round(come_back_rate(100, 300, Prior(D(81), D(219))).mean, 4) == D("0.3017")


def test_the_rat_tumours() -> None:
    # BDA3, chapter 5: prior Beta(1.4, 8.6), 4 of 14 -> Beta(5.4, 18.6): mean .225
    assert come_back_rate(4, 14, Prior(D("1.4"), D("8.6"))).mean == D("0.225")


def test_the_reserve_is_rate_times_cost() -> None:
    # house prior 1 in 10: 2 of 30 more is 3 / 40, of a claim of 80.00 that is 6.00
    assert reserve_minor(2, 30, 80_00) == 6_00
    assert reserve_minor(0, 0, 80_00) == 8_00
    told = reserve(2, 30, 80_00)
    theirs = [float(end) for end in stats.beta.ppf([0.1, 0.9], 3, 37)]
    assert [told.low_minor, told.high_minor] == [round(8000 * end) for end in theirs]
    assert told.low_minor < told.reserve_minor < told.high_minor


@pytest.mark.parametrize(
    ("outcomes", "expected"),
    [
        # CMA/CIA question 00134v: 23,200
        ([("0.2", -4000), ("0.3", 10000), ("0.3", 30000), ("0.2", 60000)], 23200),
        # IFRS for SMEs, section 21, appendix example 4: 6 % at 30 %, 4 % at 70 % of 1,000,000
        ([("0.06", 300000), ("0.04", 700000)], 46000),
        # IAS 37.39: 75 % none, 20 % minor (1.0 m), 5 % major (4.0 m)
        ([("0.75", 0), ("0.20", 1000000), ("0.05", 4000000)], 400000),
        # an Ind AS 37 question bank: 15 % of 2,000,000 and 5 % of 5,000,000
        ([("0.15", 2000000), ("0.05", 5000000)], 550000),
        ([], 0),
    ],
)
def test_expected_values_of_published_questions(outcomes: list[tuple[str, int]], expected: int) -> None:
    assert expected_value_minor([(D(chance), amount) for chance, amount in outcomes]) == expected


shape = st.floats(0.1, 3000)


@settings(deadline=None)
@given(shape, shape, st.floats(0.0001, 0.9999))
def test_the_share_below_as_scipy_has_it(a: float, b: float, x: float) -> None:
    assert beta_share(a, b, x) == pytest.approx(special.betainc(a, b, x), abs=1e-9)


@settings(deadline=None)
@given(st.floats(0.5, 3000), st.floats(0.5, 3000), st.floats(0.01, 0.99))
def test_the_quantile_as_scipy_has_it(a: float, b: float, share: float) -> None:
    assert beta_quantile(a, b, share) == pytest.approx(stats.beta.ppf(share, a, b), abs=1e-8)


def test_the_ends_of_the_share() -> None:
    assert (beta_share(2, 3, 0), beta_share(2, 3, 1)) == (0, 1)


@settings(deadline=None)
@given(st.integers(0, 60), st.integers(0, 60))
def test_one_more_claim_raises_the_rate_and_one_more_quiet_sale_lowers_it(claims: int, quiet: int) -> None:
    here = come_back_rate(claims, claims + quiet).mean
    assert come_back_rate(claims + 1, claims + 1 + quiet).mean > here > come_back_rate(claims, claims + quiet + 1).mean


def test_many_sales_outweigh_the_prior() -> None:
    assert HOUSE_PRIOR.come_back / (HOUSE_PRIOR.come_back + HOUSE_PRIOR.quiet) == D("0.1")
    assert abs(come_back_rate(60, 2000).mean - D("0.03")) < D("0.001")


@pytest.mark.parametrize(("claims", "sold"), [(-1, 5), (6, 5)])
def test_impossible_counts_are_refused(claims: int, sold: int) -> None:
    with pytest.raises(ValueError, match="between none and all"):
        reserve_minor(claims, sold, 1)


def test_impossible_figures_are_refused() -> None:
    with pytest.raises(ValueError, match="cannot be below zero"):
        reserve_minor(0, 1, -1)
    with pytest.raises(ValueError, match="above zero"):
        Prior(D(0), D(1))
    with pytest.raises(ValueError, match="between 0 and 1"):
        come_back_rate(0, 1, level=D(1))
    with pytest.raises(ValueError, match="at most one"):
        expected_value_minor([(D("0.6"), 1), (D("0.5"), 1)])


def test_what_a_return_costs_leans_on_what_was_stated() -> None:
    # Z = n / (n + k) with the house's k of 3: five own at 40.00, stated 80.00: 5/8 x 40 + 3/8 x 80 = 55.00
    assert mean_claim_minor(80_00, 5 * 40_00, 5) == 55_00
    assert mean_claim_minor(80_00, 0, 0) == 80_00
    assert mean_claim_minor(0, 90_00, 2) == 45_00
    assert mean_claim_minor(0, 0, 0) == 0
    with pytest.raises(ValueError, match="below zero"):
        mean_claim_minor(-1, 0, 0)
