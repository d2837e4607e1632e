"""The misfit beside what usual bodies make of it: simulation, and what it must leave alone."""

from __future__ import annotations

import numpy as np
import pytest
import scipy

from estimation.families.test_combine import (
    PEOPLE,
    SUBSETS,
    mask_of,
    random_covariances,
    realistic_covariance,
)
from foldspan.estimation.families.batched_matrices import Symmetric
from foldspan.estimation.families.combine import LEAST_USUAL, Usual, combine_symmetric, verdicts


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("subset", [face for face in SUBSETS if len(face) > 1])
def test_usual_bodies_are_strained_in_one_of_ten(subset: tuple[int, ...], seed: int) -> None:
    """Families that lie around usual gaps by another covariance than that of their errors: simulated.

    Three moments of a sum of squares fix its quantile to half a point (Pearson 1959, Imhof 1961); two
    (Satterthwaite 1946) to a point.
    """
    rng = np.random.default_rng(100 + seed)
    c, scatter = random_covariances(1, seed)[0], random_covariances(1, 50 + seed)[0] + np.eye(4)
    gaps = rng.normal(0.0, 5.0, 4)
    estimates = 30.0 + gaps + rng.multivariate_normal(np.zeros(4), scatter, PEOPLE)
    present = mask_of(subset, PEOPLE)
    there = everybody(scatter * np.outer(present[0], present[0]))
    usual = Usual(np.broadcast_to(gaps[:, None], (4, PEOPLE)), there)
    answer = combine_symmetric(estimates, everybody(c), present, usual)
    strained = np.mean(verdicts(answer.q, answer.dof) != "agree")
    assert strained == pytest.approx(0.10, abs=0.01)


def everybody(matrix: np.ndarray) -> Symmetric:
    """The same matrix for all people."""
    return Symmetric.of(np.broadcast_to(matrix, (PEOPLE, 4, 4)))


def test_what_is_usual_leaves_the_range_but_for_the_widening() -> None:
    """Without gaps, scatter makes the verdict alone; bodies without any are not found at fault by it."""
    c, present = realistic_covariance(), mask_of((0, 1, 2, 3), PEOPLE)
    estimates = 30.0 + np.random.default_rng(3).multivariate_normal(np.zeros(4), c, PEOPLE)
    plain = combine_symmetric(estimates, everybody(c), present)
    gaps = np.zeros((4, PEOPLE))
    same, none, unjudged = (
        combine_symmetric(estimates, everybody(c), present, Usual(gaps, scatter))
        for scatter in (everybody(c), everybody(np.zeros((4, 4))), None)
    )
    for other in (same, none, unjudged):
        np.testing.assert_array_equal(other.se, plain.se)
        np.testing.assert_array_equal(other.estimate, plain.estimate)
    np.testing.assert_allclose(same.q, plain.q, rtol=5e-4)
    # one degree of freedom where nothing is known of them, at the least share
    share = LEAST_USUAL * 3.0 * scipy.stats.chi2.isf(0.10, 1) / scipy.stats.chi2.isf(0.10, 3)
    np.testing.assert_allclose(none.q, plain.q / share, rtol=5e-4)
    assert np.isnan(unjudged.q).all()
