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
    unrestricted one. With four families all fifteen faces are tried for all people at once.
    """
    people, families = present.shape
    best = np.full(people, np.inf)
    weights = np.zeros((people, families))
    for size in range(1, families + 1):
        for face in map(np.array, combinations(range(families), size)):
            rows = np.flatnonzero(present[:, face].all(axis=1))
            if rows.size == 0:
                continue
            block = covariance[np.ix_(rows, face, face)]
            raw = np.linalg.solve(block, np.ones((rows.size, size, 1)))[..., 0]
            total = raw.sum(axis=1)
            with np.errstate(divide="ignore", invalid="ignore"):
                variance = 1.0 / total
            better = (raw >= 0.0).all(axis=1) & (total > 0.0) & (variance < best[rows])
            chosen = rows[better]
            best[chosen] = variance[better]
            weights[chosen] = 0.0
            weights[np.ix_(chosen, face)] = raw[better] / total[better, None]
    return weights


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
    both = present[:, :, None] & present[:, None, :]
    # absent families: a huge variance of their own and no covariance takes them out of the sums
    filled = np.where(both, covariance, 0.0)
    families = present.shape[1]
    diagonal = np.arange(families)
    filled[:, diagonal, diagonal] = np.where(present, covariance[:, diagonal, diagonal], 1.0)
    y = np.where(present, estimates, 0.0)
    one = present.astype(float)
    solved = np.linalg.solve(filled, np.stack([y, one], axis=-1))
    yy = np.sum(y * solved[..., 0], axis=1)
    y1 = np.sum(one * solved[..., 0], axis=1)
    oo = np.sum(one * solved[..., 1], axis=1)
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
    weights = best_weights(covariance, present)
    y = np.where(present, estimates, 0.0)
    absent = ~present.any(axis=1)
    estimate = np.where(absent, np.nan, np.sum(weights * y, axis=1))
    within = np.einsum(
        "nj,njk,nk->n", weights, np.where(np.isfinite(covariance), covariance, 0.0), weights
    )
    within = np.where(absent, np.nan, within)
    q, dof = misfit(estimates, covariance, present)
    carrying = weights >= CARRIES
    carrying = np.where(carrying.sum(axis=1, keepdims=True) > 1, carrying, present)
    q_carrying, dof_carrying = misfit(estimates, covariance, carrying)
    allowed = np.asarray((np.inf, *STRAINED_QUANTILE))[dof_carrying]
    inflation = np.sqrt(np.maximum(1.0, q_carrying / allowed))
    return Combined(
        estimate=np.clip(estimate, FLOOR_PERCENT, CEILING_PERCENT),
        se=np.sqrt(within) * inflation,
        weights=weights.T,
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
