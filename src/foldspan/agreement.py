"""Agreement: families, weights, range, misfit and verdict from estimates and their covariance.

Two levels. Within a family the usable equations share one voice, each weighted by the inverse of
its own variance; across families the weights give the smallest variance that weights which are
never negative can give. With strongly correlated errors the unrestricted best weights go negative
and the answer can leave the span of all methods; nobody could explain that to a client.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.small_matrices import Eliminated, Symmetric, eliminate, faces, quadratic

# Normal quantiles at .90 and .975 (any table): two-sided 80 % and 95 %.
Z_LIKELY, Z_WIDE = 1.2815515655, 1.9599639845
# No living adult is reported outside these [percent of weight]; the range is cut there.
FLOOR_PERCENT, CEILING_PERCENT = 2.0, 70.0
# Verdict by the chance of a misfit at least as large if the covariance is right.
STRAINED_BELOW, DISAGREE_BELOW = 0.10, 0.01
# A family with at least this weight carries the answer; its quarrel widens the range.
CARRIES = 0.05
# Chi-square quantiles for 1, 2, 3 degrees of freedom at those chances (any table of chi-square).
STRAINED_QUANTILE = (2.7055, 4.6052, 6.2514)
DISAGREE_QUANTILE = (6.6349, 9.2103, 11.3449)
_ALLOWED = np.asarray((np.inf, *STRAINED_QUANTILE))


@dataclass(frozen=True, slots=True)
class Combined:
    """The answer for N people; arrays of length N unless stated.

    ``estimate`` and ``se`` are in points of fat, ``weights`` is (4, N), ``variance_within`` the
    variance before the widening for misfit. ``q``, ``dof`` and ``inflation`` describe the misfit.
    """

    estimate: Array
    se: Array
    weights: Array
    variance_within: Array
    q: Array
    dof: Array
    inflation: Array


def best_weights(covariance: Array, present: Array) -> Array:
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


def _as_numbers(present: Array) -> list[Array]:
    """One where a family is present, zero elsewhere, an array of shape (N,) a family."""
    return list(present.astype(float))


def _weights_of(apart: Symmetric, solved: Eliminated, here: list[Array]) -> list[Array]:
    """``best_weights``, an array of shape (N,) a family, from a covariance without absent ones.

    An absent family has a variance of its own and nothing on its side, so that it gets no weight, and
    a face with it is the face without it.
    """
    raw = solved.solve(here)
    total = raw[0]
    for one in raw[1:]:
        total = total + one
    rows = np.flatnonzero(~_is_allowed(raw, total))
    with np.errstate(divide="ignore", invalid="ignore"):
        weights = [one / total for one in raw]
    if not rows.size:
        return weights
    best, chosen = np.zeros(rows.size), np.full(rows.size, -1, dtype=np.int8)
    tried = list(faces(apart.some(rows), [one[rows] for one in here]))
    for number, face in enumerate(tried):
        # the smallest variance is the largest total of the raw weights
        better = _is_allowed(face.raw, face.total) & (face.total > best)
        np.putmask(chosen, better, number)
        np.putmask(best, better, face.total)
    for one in weights:
        one[rows] = 0.0
    for number, face in enumerate(tried):
        won = np.flatnonzero(chosen == number)
        for k, one in zip(face.rows, face.raw, strict=True):
            weights[k][rows[won]] = one[won] / best[won]
    return weights


def _is_allowed(raw: list[Array], total: Array) -> Array:
    """Whether weights are ones that nobody has to explain: none is negative."""
    allowed: Array = total > 0.0
    for one in raw:
        allowed &= one >= 0.0
    return allowed


def misfit(estimates: Array, covariance: Array, present: Array) -> tuple[Array, Array]:
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
    return np.where(present.sum(axis=1) > 1, q, 0.0), _freedom(present.T)


def _misfit_of(solved: Eliminated, estimates: list[Array], here: list[Array]) -> Array:
    """``misfit``; absent families have nothing on either side."""
    y, one = solved.forward(estimates), solved.forward(here)
    yy, y1, oo = solved.product(y, y), solved.product(y, one), solved.product(one, one)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.maximum(yy - y1**2 / oo, 0.0))


def _freedom(present: Array) -> Array:
    """Degrees of freedom from who is present, (k, N): the number of families less one."""
    return np.asarray(np.maximum(present.sum(axis=0) - 1, 0))


def combine(estimates: Array, covariance: Array, present: Array) -> Combined:
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
    Widening is of Birge's kind: where the misfit passes the quantile at which the verdict becomes
    ``strained``, the standard error grows with the square root of their ratio, without a jump. It
    looks at the families that carry the answer: where two or more of them agree, a method of next to no
    weight that stands apart makes the verdict, not the range. Where one family carries it alone, all
    are looked at.
    """
    return combine_symmetric(estimates, Symmetric.of(covariance), present)


def combine_symmetric(estimates: Array, covariance: Symmetric, present: Array) -> Combined:
    """``combine`` with the covariance by its elements."""
    apart = covariance.only(present)
    solved, here = eliminate(apart), _as_numbers(present.T)
    weights = _weights_of(apart, solved, here)
    there = present.T
    known = list(estimates.T if there.all() else np.where(there, estimates.T, 0.0))
    estimate = weights[0] * known[0]
    for weight, one in zip(weights[1:], known[1:], strict=True):
        estimate += weight * one
    within = quadratic(apart, weights)
    absent = ~there.any(axis=0)
    estimate[absent], within[absent] = np.nan, np.nan
    dof = _freedom(there)
    q = _misfit_of(solved, known, here)
    q[dof == 0] = 0.0
    shares = np.stack(weights)
    ratio = _misfit_that_widens(apart, known, there, shares, q / _ALLOWED[dof])
    inflation = np.sqrt(np.maximum(1.0, ratio))
    return Combined(
        estimate=np.clip(estimate, FLOOR_PERCENT, CEILING_PERCENT),
        se=np.sqrt(within) * inflation,
        weights=shares,
        variance_within=within,
        q=q,
        dof=dof,
        inflation=inflation,
    )


def _misfit_that_widens(
    apart: Symmetric, estimates: list[Array], present: Array, weights: Array, ratio: Array
) -> Array:
    """Misfit over what is allowed, among the families that carry the answer if they are several.

    ``ratio`` is that of all families present.
    """
    carrying = present & (weights >= CARRIES)
    bits = np.array([[1 << k] for k in range(len(present))], dtype=np.int8)
    pattern = np.bitwise_or.reduce(carrying * bits, axis=0)
    all_present = np.bitwise_or.reduce(present * bits, axis=0)
    for number in np.flatnonzero(np.bincount(pattern, minlength=1)):
        kept = [k for k in range(len(present)) if number >> k & 1]
        rows = np.flatnonzero((pattern == number) & (all_present != number))
        if len(kept) < 2 or not rows.size:
            continue
        solved = eliminate(apart.face(kept).some(rows))
        some = [estimates[k][rows] for k in kept]
        q = _misfit_of(solved, some, [np.ones(rows.size)] * len(kept))
        ratio[rows] = q / _ALLOWED[len(kept) - 1]
    return ratio


def interval(estimate: Array, se: Array, z: float) -> tuple[Array, Array]:
    """Return ``estimate ± z se``, cut to what is reported in living adults."""
    low = np.clip(estimate - z * se, FLOOR_PERCENT, CEILING_PERCENT)
    high = np.clip(estimate + z * se, FLOOR_PERCENT, CEILING_PERCENT)
    return low, high


def verdicts(q: Array, dof: Array) -> Array:
    """Return ``agree``, ``strained``, ``disagree`` or ``single`` for each misfit, shape (N,)."""
    strained = q > _ALLOWED[dof]
    disagree = q > np.asarray((np.inf, *DISAGREE_QUANTILE))[dof]
    word = np.where(disagree, "disagree", np.where(strained, "strained", "agree"))
    return np.where(dof == 0, "single", word)


def chance_of_misfit(q: float, dof: int) -> float:
    """Chance of a chi-square at least ``q`` with one to three degrees of freedom.

    Closed forms, so that one answer needs no statistics library at start-up.

    Raises
    ------
    ValueError
        If ``dof`` is not 1, 2 or 3.
    """
    if dof == 2:
        return math.exp(-q / 2.0)
    if dof not in (1, 3):
        raise ValueError("one to three degrees of freedom")
    tail = math.erfc(math.sqrt(q / 2.0))
    return tail if dof == 1 else tail + math.sqrt(2.0 * q / math.pi) * math.exp(-q / 2.0)
