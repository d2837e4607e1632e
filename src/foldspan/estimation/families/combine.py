"""Combine: families, weights, range, misfit and verdict from estimates and their covariance.

Two levels. Within a family the usable equations make one estimate, each weighted by the inverse of
its own variance; across families the weights give the smallest variance that weights which are
never negative can give. With strongly correlated errors the unrestricted best weights go negative
and the answer can leave the span of all methods; nobody could explain that to a client.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array, BoolArray
from foldspan.estimation.families.batched_matrices import (
    Eliminated,
    Symmetric,
    eliminate,
    faces,
    places,
    quadratic,
)

# Normal quantiles at .90 and .975 (any table): two-sided 80 % and 95 %.
Z_LIKELY, Z_WIDE = 1.2815515655, 1.9599639845
# No living adult is reported outside these [percent of weight]; the range is cut there.
FLOOR_PERCENT, CEILING_PERCENT = 2.0, 70.0
# Verdict by the chance of a misfit at least as large if the covariance is right.
STRAINED_BELOW, DISAGREE_BELOW = 0.10, 0.01
# Chi-square quantiles for 1 to 6 degrees of freedom at those chances (any table of chi-square); four
# families have three at most.
STRAINED_QUANTILE = (2.7055, 4.6052, 6.2514, 7.7794, 9.2364, 10.6446)
DISAGREE_QUANTILE = (6.6349, 9.2103, 11.3449, 13.2767, 15.0863, 16.8119)
# Usual bodies are never taken to scatter by less than this share of what the errors let expect.
LEAST_USUAL = 0.1
# Quantile of chi-square at .90 over its degrees of freedom, in powers of one over these (our fit).
QUANTILE_90 = (1.38413, 2.8339, -2.69528, 1.6238, -0.4413)
_ALLOWED = np.asarray((np.inf, *STRAINED_QUANTILE))
_TOO_MUCH = np.asarray((np.inf, *DISAGREE_QUANTILE))
# in the order of the misfit; one method group alone has none
VERDICTS = ("agree", "strained", "disagree", "single")


@dataclass(frozen=True, slots=True)
class Combined:
    """The answer for N people; arrays of length N unless stated.

    ``estimate`` and ``se`` are in points of fat, ``weights`` is (4, N), ``variance_within`` the
    variance before the widening. ``q`` and ``dof`` describe the misfit beyond what is usual, which makes
    the verdict, ``inflation`` the widening.
    """

    estimate: Array
    se: Array
    weights: Array
    variance_within: Array
    q: Array
    dof: Array
    inflation: Array


def best_weights(covariance: Array, present: BoolArray) -> Array:
    """Weights ≥ 0, summing to one, with the smallest variance.

    Parameters
    ----------
    covariance : array of shape (N, k, k)
        Positive definite over the present families.
    present : bool array of shape (N, k)

    Returns
    -------
    array of shape (N, k)
        Zero for absent families; all zero where none is present.

    Notes
    -----
    The optimum lies on one of the 2ᵏ - 1 faces of the simplex, and on the right face it is the
    unrestricted one. Where the unrestricted weights of all present families are not negative they
    are the answer; for everybody else every smaller face is tried.
    """
    apart = Symmetric.of(covariance).only(present)
    return np.stack(_weights_of(apart, eliminate(apart), _as_numbers(present.T)), axis=1)


def _as_numbers(present: BoolArray) -> list[Array]:
    """One where a family is present, zero elsewhere, an array of shape (N,) a family."""
    return list(present.astype(float))


def _weights_of(apart: Symmetric, solved: Eliminated, indicator: list[Array]) -> list[Array]:
    """``best_weights``, an array of shape (N,) a family, from a covariance without absent ones.

    An absent family has a variance of its own and nothing on its side, so that it gets no weight, and
    a face with it is the face without it.
    """
    raw = solved.solve(indicator)
    total = raw[0]
    for weight in raw[1:]:
        total = total + weight
    rows = np.flatnonzero(~_is_allowed(raw, total))
    with np.errstate(divide="ignore", invalid="ignore"):
        weights = [weight / total for weight in raw]
    if not rows.size:
        return weights
    best, chosen = np.zeros(rows.size), np.full(rows.size, -1, dtype=np.int8)
    tried = list(faces(apart.take(rows), [raw_weight[rows] for raw_weight in indicator]))
    for number, face in enumerate(tried):
        # the smallest variance is the largest total of the raw weights
        better = _is_allowed(face.raw, face.total) & (face.total > best)
        np.putmask(chosen, better, number)
        np.putmask(best, better, face.total)
    for weight in weights:
        weight[rows] = 0.0
    for number, face in enumerate(tried):
        won = np.flatnonzero(chosen == number)
        for k, weight in zip(face.rows, face.raw, strict=True):
            weights[k][rows[won]] = weight[won] / best[won]
    return weights


def _is_allowed(raw: list[Array], total: Array) -> Array:
    """Whether weights are allowed: none is negative."""
    allowed: Array = total > 0.0
    for weight in raw:
        allowed &= weight >= 0.0
    return allowed


def misfit(estimates: Array, covariance: Array, present: BoolArray) -> tuple[Array, Array]:
    """Chi-square of the families around their generalised least-squares mean.

    Parameters
    ----------
    estimates : array of shape (N, k)
    covariance : array of shape (N, k, k)
    present : bool array of shape (N, k)

    Returns
    -------
    q, dof : arrays of length N
        ``q`` is rᵀ C⁻¹ r; ``dof`` the number of families present less one.
    """
    solved = eliminate(Symmetric.of(covariance).only(present))
    known = estimates if present.all() else np.where(present, estimates, 0.0)
    q = _misfit_of(solved, list(known.T), _as_numbers(present.T))
    return np.where(present.sum(axis=1) > 1, q, 0.0), freedom(present.T)


def _misfit_of(solved: Eliminated, estimates: list[Array], indicator: list[Array]) -> Array:
    """``misfit``; absent families have nothing on either side."""
    y, ones = solved.forward(estimates), solved.forward(indicator)
    yy, y1, oo = solved.product(y, y), solved.product(y, ones), solved.product(ones, ones)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.maximum(yy - y1**2 / oo, 0.0))


def freedom(present: BoolArray) -> Array:
    """Degrees of freedom from who is present, (k, N): the number of families less one."""
    return np.asarray(np.maximum(present.sum(axis=0) - 1, 0))


def combine(estimates: Array, covariance: Array, present: BoolArray) -> Combined:
    """Reconcile the families of N people.

    Parameters
    ----------
    estimates : array of shape (N, 4)
        Family estimates [points of fat], anything where absent.
    covariance : array of shape (N, 4, 4)
        Covariance of their errors [points²].
    present : bool array of shape (N, 4)

    Returns
    -------
    Combined
        NaN where no family is present.

    Notes
    -----
    Where the families scatter around the answer by more than their errors allow in 9 cases of 10, the
    rest of the scatter is added to the variance (additive, as between studies in a meta-analysis;
    DerSimonian & Laird 1986). Each family counts by its weight, so that a method of next to no weight
    that stands apart makes the verdict, not the range.
    """
    return combine_symmetric(estimates, Symmetric.of(covariance), present)


class Usual(NamedTuple):
    """What usual bodies make of the families of N people.

    ``gaps`` (4, N) is how far each stands apart in them [points], for the verdict and the widening;
    ``scatter`` how they lie around that [points²], nothing where one is absent, for the verdict alone;
    None where none is wanted.
    """

    gaps: Array
    scatter: Symmetric | None


def combine_symmetric(
    estimates: Array, covariance: Symmetric, present: BoolArray, usual: Usual | None = None
) -> Combined:
    """``combine`` with the covariance by its elements, beside what is usual."""
    apart = covariance.only(present)
    solved, indicator = eliminate(apart), _as_numbers(present.T)
    weights = _weights_of(apart, solved, indicator)
    there = present.T
    known = list(estimates.T if there.all() else np.where(there, estimates.T, 0.0))
    estimate = weights[0] * known[0]
    for weight, estimated in zip(weights[1:], known[1:], strict=True):
        estimate += weight * estimated
    within = quadratic(apart, weights)
    absent = ~there.any(axis=0)
    estimate[absent], within[absent] = np.nan, np.nan
    dof = freedom(there)
    apart_from_usual = known
    if usual is not None:
        apart_from_usual = [
            estimated - gap * here
            for estimated, gap, here in zip(known, usual.gaps, indicator, strict=True)
        ]
    if usual is None:
        q = _misfit_of(solved, apart_from_usual, indicator)
    elif usual.scatter is None:
        q = np.full(dof.shape, np.nan)
    else:
        q = _misfit_of(solved, apart_from_usual, indicator)
        q /= _usual_misfit(solved, indicator, usual.scatter, dof)
    q[dof == 0] = 0.0
    unexplained = _unexplained(apart, apart_from_usual, weights, within)
    inflation = np.sqrt(1.0 + unexplained / within)
    return Combined(
        estimate=np.clip(estimate, FLOOR_PERCENT, CEILING_PERCENT),
        se=np.sqrt(within) * inflation,
        weights=np.stack(weights),
        variance_within=within,
        q=q,
        dof=dof,
        inflation=inflation,
    )


def _usual_misfit(
    solved: Eliminated, indicator: list[Array], scatter: Symmetric, dof: Array
) -> Array:
    """What usual bodies make of the misfit: a share of what a chi-square of these degrees would, (N,).

    With families that scatter by V the misfit rᵀ P r under the covariance C of their errors, where P is
    C⁻¹ without the direction that all share, is a sum of squares with unlike weights. With tₖ the trace
    of (PV)ᵏ, its first three moments are those of t₁ + (t₃ / t₂) (χ² - ν), where χ² has ν = t₂³ / t₃²
    degrees of freedom (Pearson 1959, Imhof 1961; not verified in print). What 1 in 10 of them pass is
    set against the quantile that the misfit is held against.
    """
    first, second, third = _traces(solved, indicator, scatter)
    some = third > 0.0
    degrees = np.divide(second**3, third**2, out=np.ones(dof.shape), where=some)
    degrees = degrees.clip(1.0, np.maximum(dof, 1))
    above = _quantile_90(degrees)
    spread = np.divide(second**2, third, out=np.zeros(dof.shape), where=some)
    passed = np.maximum(first + spread * (above - 1.0), LEAST_USUAL * dof * above)
    return np.asarray(passed / _ALLOWED[dof])


def _traces(
    solved: Eliminated, indicator: list[Array], scatter: Symmetric
) -> tuple[Array, Array, Array]:
    """Traces of PV, of its square and of its cube, each of shape (N,); see ``_usual_misfit``.

    They are those of the symmetric D^-½ L⁻¹ V L⁻ᵀ D^-½ without the direction that all share.
    """
    every = range(len(indicator))
    elements, pairs = scatter.elements, places(len(indicator))
    roots = [1.0 / np.sqrt(pivot) for pivot in solved.pivots]
    half = [solved.forward([elements[min(i, j), max(i, j)] for i in every]) for j in every]
    whole = [solved.forward([half[j][i] for j in every]) for i in every]
    white = {(i, j): whole[i][j] * (roots[i] * roots[j]) for i, j in pairs}
    ones = [entry * root for entry, root in zip(solved.forward(indicator), roots, strict=True)]
    length = sum_of(entry * entry for entry in ones)
    reached = [sum_of(white[min(i, j), max(i, j)] * ones[j] for j in every) / length for i in every]
    along = sum_of(entry * reach for entry, reach in zip(ones, reached, strict=True)) / length
    own = {
        (i, j): white[i, j]
        - ones[i] * reached[j]
        - reached[i] * ones[j]
        + along * ones[i] * ones[j]
        for i, j in pairs
    }
    squares = {place: element * element for place, element in own.items()}
    apart = [(i, j) for i, j in pairs if i < j]
    second = sum_of(squares[i, i] for i in every) + 2.0 * sum_of(squares[place] for place in apart)
    third = sum_of(squares[i, i] * own[i, i] for i in every)
    third += 3.0 * sum_of(squares[i, j] * (own[i, i] + own[j, j]) for i, j in apart)
    for i, j in apart:
        for k in range(j + 1, len(indicator)):
            third += 6.0 * own[i, j] * own[j, k] * own[i, k]
    return sum_of(own[i, i] for i in every), second, third


def sum_of(parts: Iterable[Array]) -> Array:
    """Add up arrays in their order."""
    first, *others = parts
    for part in others:
        first = first + part
    return first


def _unexplained(
    apart: Symmetric, estimates: list[Array], weights: list[Array], within: Array
) -> Array:
    """Scatter of the families around their weighted mean beyond what is allowed [points²], (N,).

    The scatter is Q = Σ wₖ (eₖ - m)², held against its expectation E and variance under the covariance
    of the differences (trace formulas; Satterthwaite 1946 gives the degrees of freedom). What passes the
    quantile at which 1 in 10 would is left unexplained. All of it goes to zero with the weight of a
    family, so that a family that comes in or goes out makes no jump.
    """
    size = len(weights)
    centre = weights[0] * estimates[0]
    for weight, estimated in zip(weights[1:], estimates[1:], strict=True):
        centre += weight * estimated
    covariance_with_mean = [_row_times(apart, j, weights) for j in range(size)]
    scatter, expected, spread = (np.zeros(within.shape) for _ in range(3))
    for j in range(size):
        scatter += weights[j] * (estimates[j] - centre) ** 2
        for k in range(j, size):
            apart_by = (
                apart.elements[j, k] - covariance_with_mean[j] - covariance_with_mean[k] + within
            )
            both = weights[j] * weights[k] * apart_by**2
            spread += both if j == k else 2.0 * both
            if j == k:
                expected += weights[j] * apart_by
    with np.errstate(divide="ignore", invalid="ignore"):
        freedom = np.clip(expected**2 / spread, 1.0, len(FAMILIES) - 1.0)
    return np.where(
        expected > 0.0, np.maximum(scatter - _quantile_90(freedom) * expected, 0.0), 0.0
    )


def _row_times(matrix: Symmetric, row: int, loads: list[Array]) -> Array:
    """One row of N matrices times N columns."""
    product = np.zeros(loads[0].shape)
    for k, load in enumerate(loads):
        product += matrix.elements[min(row, k), max(row, k)] * load
    return product


def _quantile_90(freedom: Array) -> Array:
    """Quantile of chi-square at .90 over its degrees of freedom, from one to six of them.

    A polynomial through the exact quantile, off by less than 0.0003 up to three degrees of freedom, as
    many as four families have; at six it is 0.015 too large, on the wide side.
    """
    inverse = 1.0 / freedom
    quantile = np.full(freedom.shape, QUANTILE_90[-1])
    for term in QUANTILE_90[-2::-1]:
        quantile = quantile * inverse + term
    return quantile


def interval(estimate: Array, se: Array, z: float) -> tuple[Array, Array]:
    """Return ``estimate ± z se``, cut to what is reported in living adults."""
    low = np.clip(estimate - z * se, FLOOR_PERCENT, CEILING_PERCENT)
    high = np.clip(estimate + z * se, FLOOR_PERCENT, CEILING_PERCENT)
    return low, high


def verdicts(q: Array, dof: Array) -> Array:
    """Return ``agree``, ``strained``, ``disagree`` or ``single`` for each misfit, shape (N,)."""
    return np.asarray(VERDICTS).take(verdict_places(q, dof))


def verdict_places(q: Array, dof: Array) -> Array:
    """Return the place in ``VERDICTS`` of the verdict on each misfit, shape (N,)."""
    places = (q > _ALLOWED.take(dof)).astype(np.int8)
    places += q > _TOO_MUCH.take(dof)
    places[dof == 0] = VERDICTS.index("single")
    return places
