"""Odds from own jobs, against published posteriors, scipy's Beta and numpy's quantiles."""

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from workshop.trade.money.odds import GUESS_NOT_MENDED, Belief, Cases, Minutes, at_most, minutes, share, weighing

D = Decimal
EVEN = Belief(D(1), D(1))


def test_the_published_posterior_of_437_in_980() -> None:
    # Gelman et al., chapter 2: Beta(438, 544), mean .446, 95 % between .415 and .477
    told = EVEN.after(Cases(437, 980))

    assert (told.yes, told.no) == (438, 544)
    assert round(told.mean, 3) == D("0.446")
    assert [round(end, 3) for end in told.interval(D("0.95"))] == [D("0.415"), D("0.477")]


def test_the_published_group_of_4_in_14_on_top_of_earlier_groups() -> None:
    # Gelman et al., chapter 5: a prior of Beta(1.4, 8.6) makes Beta(5.4, 18.6), mean .225
    told = Belief(D("1.4"), D("8.6")).after(Cases(4, 14))

    assert (told.yes, told.no, told.mean) == (D("5.4"), D("18.6"), D("0.225"))


def test_a_prior_of_81_and_219_after_100_of_300() -> None:
    # mean of Beta(181, 419)
    assert round(Belief(D(81), D(219)).after(Cases(100, 300)).mean, 4) == D("0.3017")


levels = st.sampled_from(["0.5", "0.8", "0.95"])


@given(st.integers(1, 60), st.integers(1, 60), st.integers(0, 30), st.integers(0, 30), levels)
def test_the_interval_is_that_of_scipy(yes: int, no: int, hits: int, missed: int, level: str) -> None:
    low, high = Belief(D(yes) / 4, D(no) / 4).after(Cases(hits, hits + missed)).interval(D(level))

    expected = stats.beta.interval(float(level), yes / 4 + hits, no / 4 + missed)
    assert (float(low), float(high)) == pytest.approx(expected, abs=2e-6)


def test_without_any_case_the_guess_stands() -> None:
    assert share(Cases(), Cases(), GUESS_NOT_MENDED.value).mean == D("0.1")


def test_own_cases_are_drawn_towards_the_kind_by_credibility() -> None:
    # kind: (6 + 0.3) / (27 + 3) = 0.21; own 2 of 3 with Z = 3 / (3 + 3): half of 0.6667 and half of 0.21
    assert round(share(Cases(2, 3), Cases(6, 27), D("0.1")).mean, 6) == round((D(2) / 3 + D("0.21")) / 2, 6)


def test_many_own_cases_outweigh_the_kind() -> None:
    assert abs(share(Cases(300, 1000), Cases(0, 50), D("0.1")).mean - D("0.3")) < D("0.001")


@given(st.integers(0, 40), st.integers(1, 40), st.integers(0, 40), st.integers(0, 40))
def test_one_more_case_never_lowers_the_share(hits: int, missed: int, kind_hits: int, kind_missed: int) -> None:
    kind = Cases(kind_hits, kind_hits + kind_missed)
    fewer, more = (share(Cases(h, hits + missed), kind, D("0.1")).mean for h in (hits, hits + 1))

    assert 0 < fewer < more < 1


@pytest.mark.parametrize(("hits", "of"), [(-1, 3), (4, 3)])
def test_counts_that_cannot_be_are_refused(hits: int, of: int) -> None:
    with pytest.raises(ValueError, match="between never and every time"):
        Cases(hits, of)


@pytest.mark.parametrize("mean", [D(0), D(1)])
def test_a_belief_is_never_certain(mean: Decimal) -> None:
    with pytest.raises(ValueError, match="above zero"):
        weighing(mean)


def test_a_level_lies_between_0_and_1() -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        EVEN.interval(D(1))


@given(st.lists(st.integers(0, 900), min_size=1, max_size=40))
def test_most_of_them_is_the_quantile_that_steps(values: list[int]) -> None:
    assert at_most(values) == np.quantile(values, 0.8, method="inverted_cdf")


@pytest.mark.parametrize(
    ("own", "kind", "told"),
    [
        ([], [], None),
        ([170], [], Minutes(170, 170)),
        ([], [100, 200, 300, 400, 500], Minutes(300, 400, 5)),
        # three own jobs lean on nobody; two lean on the three that the kind counts for: (2 x 120 + 3 x 170) / 5
        ([120, 100, 180], [240], Minutes(120, 180)),
        ([120, 120], [150, 160, 170, 180, 190], Minutes(150, 156, 5)),
        # a kind of one job counts for one: (2 x 120 + 240) / 3
        ([120, 120], [240], Minutes(160, 160, 1)),
    ],
)
def test_minutes_at_half_and_at_8_in_10(own: list[int], kind: list[int], told: Minutes | None) -> None:
    assert minutes(own, kind) == told


def test_eight_own_jobs_are_not_outvoted_by_quicker_machines_of_the_kind() -> None:
    own = [154, 158, 163, 168, 171, 175, 178, 182]

    told = minutes(own, [60, 70, 75, 80, 90])

    assert told == Minutes(170, 178)
    assert sum(took <= told.half for took in own) == 4
