"""Agreement against outside answers: scipy.optimize, scipy.stats, algebra written out, simulation."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
import scipy

from foldspan.estimation.families.batched_matrices import Symmetric, faces
from foldspan.estimation.families.chi_square import chance_of_misfit
from foldspan.estimation.families.combine import (
    DISAGREE_QUANTILE,
    STRAINED_QUANTILE,
    Z_LIKELY,
    Z_WIDE,
    Combined,
    _quantile_90,
    best_weights,
    combine,
    interval,
    misfit,
    verdicts,
)

FAMILIES = 4
SUBSETS = [face for size in range(1, FAMILIES + 1) for face in combinations(range(FAMILIES), size)]
PEOPLE = 20_000
# a chance finding beyond four binomial standard errors comes once in 16,000 times
BINOMIAL_ERRORS = 4.0


def random_covariances(count: int, seed: int) -> np.ndarray:
    """Covariances of four methods with spreads of 3-7 points and mixed, often strong, correlation."""
    rng = np.random.default_rng(seed)
    shared = rng.uniform(0.0, 2.5, (count, 1, 1))
    mixed = rng.normal(size=(count, FAMILIES, FAMILIES)) + shared
    raw = mixed @ mixed.transpose(0, 2, 1) + 0.05 * np.eye(FAMILIES)
    scale = np.sqrt(np.einsum("nii->ni", raw))
    spread = rng.uniform(3.0, 7.0, (count, FAMILIES))
    return raw * (spread / scale)[:, :, None] * (spread / scale)[:, None, :]


def masks(count: int, seed: int) -> np.ndarray:
    """Which families are present, at least one a person."""
    rng = np.random.default_rng(seed)
    present = rng.random((count, FAMILIES)) < 0.7
    present[np.arange(count), rng.integers(0, FAMILIES, count)] = True
    return present


def mask_of(subset: tuple[int, ...], count: int) -> np.ndarray:
    present = np.zeros((count, FAMILIES), dtype=bool)
    present[:, list(subset)] = True
    return present


def realistic_covariance() -> np.ndarray:
    """Correlations of the size found between the errors of published families, spreads 3.6-4.2."""
    correlation = np.array(
        [
            [1.00, 0.45, 0.50, 0.42],
            [0.45, 1.00, 0.65, 0.70],
            [0.50, 0.65, 1.00, 0.65],
            [0.42, 0.70, 0.65, 1.00],
        ]
    )
    spread = np.array([4.0, 3.9, 4.2, 4.1])
    return correlation * np.outer(spread, spread)


def test_no_other_weights_reach_a_smaller_variance() -> None:
    """scipy.optimize (SLSQP) on the same problem; it stops within 1e-9 of the variance."""
    covariances, present = random_covariances(120, 1), masks(120, 2)
    weights = best_weights(covariances, present)
    for c, here, w in zip(covariances, present, weights, strict=True):
        rows = np.flatnonzero(here)
        block = c[np.ix_(rows, rows)]
        found = scipy.optimize.minimize(
            lambda x, block=block: x @ block @ x,
            np.full(rows.size, 1.0 / rows.size),
            jac=lambda x, block=block: 2.0 * block @ x,
            bounds=[(0.0, 1.0)] * rows.size,
            constraints={"type": "eq", "fun": lambda x: x.sum() - 1.0},
            method="SLSQP",
            options={"ftol": 1e-12, "maxiter": 500},
        )
        assert found.success
        assert w @ c @ w == pytest.approx(found.fun, rel=1e-6)
        np.testing.assert_allclose(w[rows], found.x, atol=2e-3)


def test_weights_meet_the_conditions_of_an_optimum() -> None:
    """Karush-Kuhn-Tucker: the gradient is level on what is used, and not lower on what is not."""
    covariances, present = random_covariances(2_000, 3), masks(2_000, 4)
    weights = best_weights(covariances, present)
    assert (weights >= 0.0).all()
    assert (weights[~present] == 0.0).all()
    np.testing.assert_allclose(weights.sum(axis=1), 1.0, atol=1e-12)
    gradient = np.einsum("njk,nk->nj", covariances, weights)
    variance = np.einsum("nj,nj->n", weights, gradient)[:, None]
    used = weights > 1e-9
    np.testing.assert_allclose(np.where(used, gradient / variance, 1.0), 1.0, atol=1e-7)
    assert (
        gradient[present & ~used] >= (variance * np.ones(FAMILIES))[present & ~used] - 1e-7
    ).all()


def test_weights_equal_the_closed_form_where_it_is_positive() -> None:
    """Generalised least squares (any textbook): C⁻¹1 / 1ᵀC⁻¹1."""
    covariances = random_covariances(2_000, 5)
    raw = np.linalg.inv(covariances).sum(axis=2)
    closed = raw / raw.sum(axis=1, keepdims=True)
    positive = (closed > 0.0).all(axis=1)
    assert 100 < positive.sum() < 1_900  # both cases are met
    weights = best_weights(covariances, np.ones((2_000, FAMILIES), dtype=bool))
    np.testing.assert_allclose(weights[positive], closed[positive], atol=1e-8)
    assert (weights[~positive] == 0.0).any(axis=1).all()


def test_two_methods_by_hand() -> None:
    """Spreads 3 and 4, r = .5: w₁ = (16-6)/(25-12) = 10/13; r = .9: unrestricted would be negative."""
    both = np.ones((1, 2), dtype=bool)
    mild = np.array([[[9.0, 6.0], [6.0, 16.0]]])
    np.testing.assert_allclose(best_weights(mild, both), [[10 / 13, 3 / 13]])
    strong = np.array([[[9.0, 10.8], [10.8, 16.0]]])
    np.testing.assert_allclose(best_weights(strong, both), [[1.0, 0.0]])


def test_more_methods_never_raise_the_variance() -> None:
    covariances = random_covariances(300, 6)
    estimates = np.full((300, FAMILIES), 25.0)
    every = combine(estimates, covariances, mask_of((0, 1, 2, 3), 300)).variance_within
    for subset in SUBSETS[:-1]:
        fewer = combine(estimates, covariances, mask_of(subset, 300)).variance_within
        assert (every <= fewer * (1.0 + 1e-9)).all()


def test_faces_are_the_solutions_of_all_smaller_matrices() -> None:
    """Every choice of rows but all of them, held against a library that solves it alone."""
    covariances = random_covariances(50, seed=8)
    side = np.random.default_rng(8).normal(size=(FAMILIES, 50))
    found = list(faces(Symmetric.of(covariances), list(side)))
    assert sorted(face.rows for face in found) == sorted(SUBSETS[:-1])
    for face in found:
        part = covariances[:, face.rows][:, :, face.rows]
        solved = np.linalg.solve(part, side[list(face.rows)].T[..., None])[..., 0]
        np.testing.assert_allclose(np.stack(face.raw, axis=1), solved, rtol=1e-9, atol=1e-12)
        np.testing.assert_allclose(
            face.total, np.sum(solved * side[list(face.rows)].T, axis=1), rtol=1e-9
        )


def test_misfit_equals_generalised_least_squares_written_out() -> None:
    covariances, present = random_covariances(300, 7), masks(300, 8)
    estimates = np.random.default_rng(9).normal(25.0, 5.0, (300, FAMILIES))
    q, dof = misfit(estimates, covariances, present)
    for person in range(300):
        rows = np.flatnonzero(present[person])
        inverse = np.linalg.inv(covariances[person][np.ix_(rows, rows)])
        y = estimates[person, rows]
        mean = (inverse @ y).sum() / inverse.sum()
        assert q[person] == pytest.approx((y - mean) @ inverse @ (y - mean), rel=1e-6, abs=1e-8)
        assert dof[person] == rows.size - 1


def test_methods_that_agree_have_no_misfit_below_zero() -> None:
    """A sum of squares: what rounding leaves is never negative, and its root is a number."""
    covariance = random_covariances(500, 8)
    same = np.repeat(np.linspace(5.0, 60.0, 500)[:, None], FAMILIES, axis=1)
    q, _ = misfit(same, covariance, np.ones(same.shape, dtype=bool))
    assert (q >= 0.0).all()
    assert q.max() < 1e-6


def test_absent_families_may_hold_anything() -> None:
    covariances, present = random_covariances(50, 10), masks(50, 11)
    estimates = np.random.default_rng(12).normal(25.0, 5.0, (50, FAMILIES))
    clean = combine(estimates, covariances, present)
    both = present[:, :, None] & present[:, None, :]
    dirty = combine(
        np.where(present, estimates, np.nan), np.where(both, covariances, np.nan), present
    )
    for name in ("estimate", "se", "weights", "q", "dof", "inflation"):
        np.testing.assert_allclose(getattr(dirty, name), getattr(clean, name), atol=1e-9)


def test_nobody_present_gives_no_answer() -> None:
    empty = combine(np.full((1, 4), np.nan), np.full((1, 4, 4), np.nan), np.zeros((1, 4), bool))
    assert np.isnan(empty.estimate[0])
    assert np.isnan(empty.se[0])
    assert (empty.weights == 0.0).all()
    assert empty.dof[0] == 0


@pytest.mark.parametrize("dof", [1, 2, 3])
def test_misfit_of_honest_errors_is_chi_square(dof: int) -> None:
    """Kolmogorov-Smirnov against scipy.stats.chi2; below .001 once in a thousand seeds."""
    c = realistic_covariance()
    truth, present = 30.0, mask_of(tuple(range(dof + 1)), PEOPLE)
    errors = np.random.default_rng(20 + dof).multivariate_normal(np.zeros(4), c, PEOPLE)
    q, _ = misfit(truth + errors, np.broadcast_to(c, (PEOPLE, 4, 4)), present)
    assert scipy.stats.kstest(q, scipy.stats.chi2(dof).cdf).pvalue > 0.001


@pytest.mark.parametrize("dof", [1, 2, 3, 4, 5, 6])
def test_chance_of_misfit_equals_scipy(dof: int) -> None:
    for q in (0.0, 1e-6, 0.1, 1.0, 2.7055, 6.6349, 11.3, 40.0):
        assert chance_of_misfit(q, dof) == pytest.approx(scipy.stats.chi2.sf(q, dof), rel=1e-10)


@pytest.mark.parametrize("dof", [-1, 0])
def test_chance_of_misfit_refuses_what_is_no_degree_of_freedom(dof: int) -> None:
    with pytest.raises(ValueError, match="degree of freedom"):
        chance_of_misfit(1.0, dof)


def test_tabulated_quantiles_equal_scipy() -> None:
    """Half of the last typed digit; the verdict's chances (1 in 10, 1 in 100) are written out."""
    assert len(STRAINED_QUANTILE) == len(DISAGREE_QUANTILE) >= FAMILIES - 1
    for place, dof in enumerate(range(1, len(STRAINED_QUANTILE) + 1)):
        assert STRAINED_QUANTILE[place] == pytest.approx(scipy.stats.chi2.isf(0.10, dof), abs=5e-5)
        assert DISAGREE_QUANTILE[place] == pytest.approx(scipy.stats.chi2.isf(0.01, dof), abs=5e-5)
    assert pytest.approx(scipy.stats.norm.ppf(0.90), abs=5e-10) == Z_LIKELY
    assert pytest.approx(scipy.stats.norm.ppf(0.975), abs=5e-10) == Z_WIDE


@pytest.mark.parametrize("dof", [1, 2, 3])
def test_verdicts_change_at_the_quantiles(dof: int) -> None:
    edges = [scipy.stats.chi2.isf(0.10, dof), scipy.stats.chi2.isf(0.01, dof)]
    q = np.array([0.0, edges[0] - 1e-3, edges[0] + 1e-3, edges[1] - 1e-3, edges[1] + 1e-3, 1e6])
    words = verdicts(q, np.full(q.size, dof))
    assert words.tolist() == ["agree", "agree", "strained", "strained", "disagree", "disagree"]


def test_one_family_is_single_whatever_it_says() -> None:
    assert verdicts(np.array([0.0, 99.0]), np.array([0, 0])).tolist() == ["single", "single"]


def quarrel(q: np.ndarray) -> Combined:
    """Two methods with spread 4 and r = .5 that lie apart so that their chi-square is ``q``."""
    c = np.array([[16.0, 8.0], [8.0, 16.0]])
    gap = np.sqrt(q * (16.0 + 16.0 - 2.0 * 8.0))  # var(y₁-y₂) = 16
    y = np.stack([30.0 - gap / 2.0, 30.0 + gap / 2.0], axis=1)
    return combine(y, np.broadcast_to(c, (q.size, 2, 2)), np.ones((q.size, 2), dtype=bool))


def test_widening_starts_without_a_jump() -> None:
    edge = float(scipy.stats.chi2.isf(0.10, 1))
    q = np.array([0.0, edge - 1e-3, edge + 1e-3, 4.0 * edge])
    answer = quarrel(q)
    np.testing.assert_allclose(answer.q, q, atol=1e-9)
    # by hand: both weigh a half, so the scatter is Q = gap²/4 = 4 q with the expectation 16/4 = 4; what
    # passes 4 times the quantile is added to the variance of 12: √(1 + (q - edge) / 3)
    by_hand = np.sqrt(1.0 + np.maximum(q - edge, 0.0) / 3.0)
    np.testing.assert_allclose(answer.inflation, by_hand, atol=5e-4)
    np.testing.assert_allclose(answer.se, np.sqrt(12.0) * answer.inflation, rtol=1e-12)


def test_widening_only_grows_with_the_quarrel() -> None:
    steps = np.diff(quarrel(np.linspace(0.0, 40.0, 4_001)).se)
    assert (steps >= -1e-12).all()
    assert steps.max() < 0.01  # nowhere a cliff: .01 of a unit of q moves under .01 points


@pytest.mark.parametrize("seed", range(40))
def test_a_method_that_loses_its_weight_takes_its_quarrel_along(seed: int) -> None:
    """A method's error grows without end: the range goes to that of the others, without a jump."""
    rng = np.random.default_rng(seed)
    c, y = realistic_covariance(), rng.uniform(15.0, 45.0, 4)
    spread = np.geomspace(1.0, 1e4, 40_001)
    grown = np.repeat(c[None], spread.size, axis=0)
    grown[:, 3, :] *= spread[:, None]
    grown[:, :, 3] *= spread[:, None]
    both = combine(np.repeat(y[None], spread.size, axis=0), grown, np.ones((spread.size, 4), bool))
    assert np.abs(np.diff(both.estimate)).max() < 0.03
    assert np.abs(np.diff(both.se)).max() < 0.03
    alone = combine(y[None], c[None], mask_of((0, 1, 2), 1))
    assert both.estimate[-1] == pytest.approx(alone.estimate[0], abs=0.01)
    assert both.se[-1] == pytest.approx(alone.se[0], abs=0.01)


def test_the_quantile_is_that_of_chi_square_for_any_degrees_of_freedom() -> None:
    freedom = np.linspace(1.0, 3.0, 201)
    exact = scipy.stats.chi2.ppf(0.90, freedom) / freedom
    np.testing.assert_allclose(_quantile_90(freedom), exact, atol=3e-4)


def covered_by_theory(dof: int, chance: float) -> float:
    """Coverage with a widening of Birge's kind where mean and misfit are independent, by quadrature."""
    z, edge = scipy.stats.norm.ppf(0.5 + chance / 2.0), scipy.stats.chi2.isf(0.10, max(dof, 1))
    if dof == 0:
        return chance

    def wider(q: float) -> float:
        return scipy.stats.chi2.pdf(q, dof) * (
            2.0 * scipy.stats.norm.cdf(z * np.sqrt(q / edge)) - 1.0
        )

    return 0.9 * chance + float(scipy.integrate.quad(wider, edge, np.inf)[0])


@pytest.mark.parametrize("subset", SUBSETS, ids=lambda subset: "".join(map(str, subset)))
def test_ranges_hold_the_truth_as_often_as_they_say(subset: tuple[int, ...]) -> None:
    """Simulation with truth and covariance known: before widening 80 and 95 %, after it by theory.

    20,000 people a subset, so four binomial standard errors are 1.1 and 0.6 points.
    """
    c = realistic_covariance()
    rng = np.random.default_rng(sum(10**k for k in subset))
    truth = rng.uniform(25.0, 45.0, PEOPLE)
    errors = rng.multivariate_normal(np.zeros(4), c, PEOPLE)
    answer = combine(
        truth[:, None] + errors,
        np.broadcast_to(c, (PEOPLE, 4, 4)),
        mask_of(subset, PEOPLE),
    )
    assert (answer.weights[list(subset)] > 0.0).all()  # so mean and misfit are independent
    for z, chance in ((Z_LIKELY, 0.80), (Z_WIDE, 0.95)):
        for se, expected in (
            (np.sqrt(answer.variance_within), chance),
            (answer.se, covered_by_theory(len(subset) - 1, chance)),
        ):
            low, high = interval(answer.estimate, se, z)
            holds = float(((low <= truth) & (truth <= high)).mean())
            margin = BINOMIAL_ERRORS * np.sqrt(expected * (1.0 - expected) / PEOPLE)
            assert holds == pytest.approx(expected, abs=margin)


def test_ranges_hold_where_a_weight_is_cut_off_at_zero() -> None:
    """A strongly correlated, vaguer method gets no weight; the range must hold all the same."""
    c = realistic_covariance()
    c[1] *= 1.6
    c[:, 1] *= 1.6
    rng = np.random.default_rng(31)
    errors = rng.multivariate_normal(np.zeros(4), c, PEOPLE)
    answer = combine(
        35.0 + errors, np.broadcast_to(c, (PEOPLE, 4, 4)), np.ones((PEOPLE, 4), dtype=bool)
    )
    assert (answer.weights[1] == 0.0).all()
    for z, chance in ((Z_LIKELY, 0.80), (Z_WIDE, 0.95)):
        low, high = interval(answer.estimate, np.sqrt(answer.variance_within), z)
        holds = float(((low <= 35.0) & (high >= 35.0)).mean())
        margin = BINOMIAL_ERRORS * np.sqrt(chance * (1.0 - chance) / PEOPLE)
        assert holds == pytest.approx(chance, abs=margin)


def test_verdicts_come_as_often_as_they_say() -> None:
    """Strained or worse 1 in 10, disagree 1 in 100, when the covariance is right."""
    c = realistic_covariance()
    errors = np.random.default_rng(32).multivariate_normal(np.zeros(4), c, PEOPLE)
    answer = combine(
        30.0 + errors, np.broadcast_to(c, (PEOPLE, 4, 4)), np.ones((PEOPLE, 4), dtype=bool)
    )
    words = verdicts(answer.q, answer.dof)
    for share, expected in (
        ((words != "agree").mean(), 0.10),
        ((words == "disagree").mean(), 0.01),
    ):
        margin = BINOMIAL_ERRORS * np.sqrt(expected * (1.0 - expected) / PEOPLE)
        assert float(share) == pytest.approx(expected, abs=margin)


def test_ranges_are_cut_to_living_adults() -> None:
    """2 to 70 % (design: never below, never above), and the likely range stays inside the wide one."""
    estimate, se = np.array([2.5, 30.0, 69.0]), np.array([6.0, 40.0, 6.0])
    for z in (Z_LIKELY, Z_WIDE):
        low, high = interval(estimate, se, z)
        assert ((low >= 2.0) & (high <= 70.0) & (low <= high)).all()
    low_end = combine(np.full((1, 4), -9.0), realistic_covariance()[None], np.ones((1, 4), bool))
    assert low_end.estimate[0] == 2.0
