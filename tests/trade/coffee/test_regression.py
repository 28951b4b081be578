"""The small linear algebra, against dense linear algebra by others."""

from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import cho_solve
from scipy.stats import multivariate_normal

from workshop.trade.coffee.regression import Belief, cholesky, posterior

SEEDS = st.integers(0, 10_000)


@given(SEEDS, st.integers(1, 9))
def test_the_cholesky_factor_is_numpy_s(seed: int, size: int) -> None:
    square = np.random.default_rng(seed).normal(size=(size, size + 3))
    matrix = square @ square.T + 0.1 * np.eye(size)
    lower = np.array([[*row, *[0.0] * (size - len(row))] for row in cholesky(matrix.tolist())])
    np.testing.assert_allclose(lower, np.linalg.cholesky(matrix), rtol=1e-9, atol=1e-9)


@given(SEEDS, st.integers(0, 12))
def test_the_posterior_is_the_dense_gaussian_one(seed: int, shots: int) -> None:
    rng = np.random.default_rng(seed)
    rows, values = rng.normal(size=(shots, 4)), rng.normal(size=shots)
    means, sds, query = rng.normal(size=4), rng.uniform(0.2, 3, size=4), rng.normal(size=4)
    ours = posterior(
        rows.tolist(), values.tolist(), [0.04] * shots, [Belief(m, s) for m, s in zip(means, sds, strict=True)]
    )
    # independently, in the space of the observations: conditioning a joint Gaussian
    prior_cov = np.diag(sds**2)
    gain = prior_cov @ rows.T @ np.linalg.inv(rows @ prior_cov @ rows.T + 0.04 * np.eye(shots))
    mean, cov = means + gain @ (values - rows @ means), prior_cov - gain @ rows @ prior_cov
    np.testing.assert_allclose(ours.mean, mean, rtol=1e-7, atol=1e-7)
    assert ours.expect(query.tolist()) == pytest.approx(query @ mean, abs=1e-7)
    assert ours.variance(query.tolist()) == pytest.approx(query @ cov @ query, abs=1e-7)


@given(SEEDS, st.integers(1, 10))
def test_with_a_noise_for_each_shot_the_evidence_is_scipy_s_normal_density(seed: int, shots: int) -> None:
    rng = np.random.default_rng(seed)
    rows, values, noise = rng.normal(size=(shots, 3)), rng.normal(size=shots), rng.uniform(0.01, 0.3, size=shots)
    means, sds = rng.normal(size=3), rng.uniform(0.2, 3, size=3)
    beliefs = [Belief(m, s) for m, s in zip(means, sds, strict=True)]
    ours = posterior(rows.tolist(), values.tolist(), noise.tolist(), beliefs)
    cov = rows @ np.diag(sds**2) @ rows.T + np.diag(noise)
    theirs = multivariate_normal.logpdf(values, rows @ means, cov)
    assert ours.log_evidence == pytest.approx(theirs + shots / 2 * np.log(2 * np.pi), abs=1e-6)
    gain = np.diag(sds**2) @ rows.T @ np.linalg.inv(cov)
    np.testing.assert_allclose(ours.mean, means + gain @ (values - rows @ means), rtol=1e-6, atol=1e-6)


def test_with_flat_beliefs_it_is_least_squares() -> None:
    rng = np.random.default_rng(7)
    rows, values = rng.normal(size=(9, 3)), rng.normal(size=9)
    ours = posterior(rows.tolist(), values.tolist(), [0.04] * 9, [Belief(0, inf)] * 3)
    np.testing.assert_allclose(ours.mean, np.linalg.lstsq(rows, values, rcond=None)[0], rtol=1e-10)
    factor = np.linalg.cholesky(rows.T @ rows / 0.04)
    query = rng.normal(size=3)
    assert ours.variance(query.tolist()) == pytest.approx(query @ cho_solve((factor, True), query))


def test_what_neither_belief_nor_shots_tell_apart_is_refused() -> None:
    with pytest.raises(ValueError, match="do not tell"):
        posterior([[1.0, 2.0], [1.0, 2.0]], [1.0, 1.1], [0.04, 0.04], [Belief(0, inf), Belief(0, inf)])
    with pytest.raises(ValueError, match="do not tell"):
        posterior([], [], [], [Belief(0, inf)])
