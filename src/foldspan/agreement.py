"""Agreement: families, weights, range, misfit and verdict from estimates and their covariance.

Two levels. Within a family the usable equations share one voice, each weighted by the inverse of
its own variance; across families the weights give the smallest variance that weights which are
never negative can give. With strongly correlated errors the unrestricted best weights go negative
and the answer can leave the span of all methods; nobody could explain that to a client.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.small_matrices import Symmetric, eliminate, quadratic

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
    return np.stack(_weights_of(Symmetric.of(covariance), present), axis=1)


def _weights_of(covariance: Symmetric, present: Array) -> list[Array]:
    """``best_weights``, an array of shape (N,) a family."""
    people, families = present.shape
    weights = [np.zeros(people) for _ in range(families)]
    pattern = present @ (1 << np.arange(families))
    for number in np.flatnonzero(np.bincount(pattern, minlength=1)):
        rows = np.flatnonzero(pattern == number)
        here = [k for k in range(families) if number >> k & 1]
        if here:
            everybody = rows.size == people
            part = covariance if everybody else covariance.some(rows)
            for k, found in zip(here, _over_faces(part.face(here)), strict=True):
                weights[k][slice(None) if everybody else rows] = found
    return weights


def _over_faces(covariance: Symmetric) -> list[Array]:
    """Weights of people who have all families of a covariance."""
    raw, total = _on_face(covariance)
    weights = [one / total for one in raw]
    rows = np.flatnonzero(~_is_allowed(raw, total))
    if not rows.size:
        return weights
    left, size = covariance.some(rows), covariance.size
    for one in weights:
        one[rows] = 0.0
    faces = [face for few in range(1, size) for face in combinations(range(size), few)]
    tried = [_on_face(left.face(face)) for face in faces]
    best, chosen = np.zeros(rows.size), np.zeros(rows.size, dtype=np.int8)
    for number, (raw, total) in enumerate(tried):
        # the smallest variance is the largest total of the raw weights
        better = _is_allowed(raw, total) & (total > best)
        chosen[better] = number
        best[better] = total[better]
    for number, (face, (raw, total)) in enumerate(zip(faces, tried, strict=True)):
        here = np.flatnonzero(chosen == number)
        for k, one in zip(face, raw, strict=True):
            weights[k][rows[here]] = one[here] / total[here]
    return weights


def _on_face(covariance: Symmetric) -> tuple[list[Array], Array]:
    """Weights of either sign that are best for what they sum to, and their sum, 1 / variance."""
    raw = eliminate(covariance).solve([np.ones(covariance.elements[0, 0].shape)] * covariance.size)
    total = raw[0]
    for one in raw[1:]:
        total = total + one
    return raw, total


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
    return _misfit_of(estimates, Symmetric.of(covariance), present)


def _misfit_of(estimates: Array, covariance: Symmetric, present: Array) -> tuple[Array, Array]:
    # absent families: a variance of their own and no covariance takes them out of the sums
    solved = eliminate(covariance.only(present))
    whole = present.all()
    y = solved.forward(list((estimates if whole else np.where(present, estimates, 0.0)).T))
    one = solved.forward(list(present.T.astype(float)))
    yy, y1, oo = solved.product(y, y), solved.product(y, one), solved.product(one, one)
    dof = np.maximum(present.sum(axis=1) - 1, 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        q = np.where(dof > 0, np.maximum(yy - y1**2 / oo, 0.0), 0.0)
    return q, dof


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
    weights = _weights_of(covariance, present)
    families = range(present.shape[1])
    absent = ~present.any(axis=1)
    estimate = np.zeros(absent.shape)
    for k in families:
        estimate = estimate + np.where(present[:, k], weights[k] * estimates[:, k], 0.0)
    estimate = np.where(absent, np.nan, estimate)
    within = np.where(absent, np.nan, quadratic(covariance, weights))
    q, dof = _misfit_of(estimates, covariance, present)
    shares = np.stack(weights)
    carrying = shares.T >= CARRIES
    carrying = np.where(carrying.sum(axis=1, keepdims=True) > 1, carrying, present)
    q_carrying, dof_carrying = q.copy(), dof.copy()
    rows = np.flatnonzero((carrying != present).any(axis=1))
    if rows.size:
        few = _misfit_of(estimates[rows], covariance.some(rows), carrying[rows])
        q_carrying[rows], dof_carrying[rows] = few
    allowed = np.asarray((np.inf, *STRAINED_QUANTILE))[dof_carrying]
    inflation = np.sqrt(np.maximum(1.0, q_carrying / allowed))
    return Combined(
        estimate=np.clip(estimate, FLOOR_PERCENT, CEILING_PERCENT),
        se=np.sqrt(within) * inflation,
        weights=shares,
        variance_within=within,
        q=q,
        dof=dof,
        inflation=inflation,
    )


def interval(estimate: Array, se: Array, z: float) -> tuple[Array, Array]:
    """Return ``estimate ± z se``, cut to what is reported in living adults."""
    low = np.clip(estimate - z * se, FLOOR_PERCENT, CEILING_PERCENT)
    high = np.clip(estimate + z * se, FLOOR_PERCENT, CEILING_PERCENT)
    return low, high


def verdicts(q: Array, dof: Array) -> Array:
    """Return ``agree``, ``strained``, ``disagree`` or ``single`` for each misfit, shape (N,)."""
    strained = q > np.asarray((np.inf, *STRAINED_QUANTILE))[dof]
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
