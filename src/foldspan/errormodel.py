"""Error model: the covariance of the families' errors for one person, block by block.

Every block is a rule, so an equation added tomorrow is covered without a hand-typed row:

===============  ==================================================================================
published        the printed standard error of each equation
new_people       carrying an equation to people it was not built on: own part by equation
limits           distance outside the sample's limits, another site variant, another body size
shared           what all methods share for this person: one term for everything
scale            moving an equation from one criterion to the other
conversion       density-to-fat conversion, shared by all equations that predict density
tester           readings, through the gradients: equations that share a reading share its error
waist_site       a waist at one level standing in for another
===============  ==================================================================================

``published``, ``new_people`` and ``limits`` correlate between equations by one rule: the fourth power
of the correlation of the two *estimates* over the reference people. The rule was found on NHANES
1999-2002 (intercept 0.01, slope 1.01, scatter 0.11) and held on other people, NHANES 2003-06 (rmse
.08 women, .10 men) and 2011-16 (.07, .07). A whole power of a correlation matrix, element by element,
stays positive semi-definite (Schur product theorem).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldspan.catalogue import EQUATIONS, SIRI
from foldspan.catalogue.card import FAMILIES, Array, Equation, Scale
from foldspan.catalogue.printed_error import largest_of_its_kind
from foldspan.evaluate import fat_percents
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import Sex
from foldspan.reference_people import reference_people

BLOCKS = (
    "published",
    "new_people",
    "limits",
    "shared",
    "scale",
    "conversion",
    "tester",
    "waist_site",
)

# Correlation of errors = correlation of estimates to this power; see the module's docstring.
ERROR_POWER = 4
# Own part of carrying an equation to new people [points]: published cross-validations find constant
# errors of 1-4 points even in similar samples; smaller samples carry worse.
OWN_LARGE, OWN_MIDDLE, OWN_SMALL = 2.0, 2.5, 3.0
LARGE_SAMPLE, MIDDLE_SAMPLE = 500, 100
# Shared part [points]: what all methods miss together in people they were not built on. Density: the
# root mean square of the constant errors in published cross-validations (Sinning 1985, Peterson
# 2003, Moon 2007 and 2008, Nickerson 2018 and 2020: 1 to 6 points, mostly 2 to 3). DXA: set on NHANES
# 1999-2002 so that ranges there hold a little more often than they say.
SHARED_NEW_PEOPLE = {"density": 3.0, "dxa": 1.5}
# The criterion's own error: 2.4 points for underwater weighing against three compartments (Moon 2007,
# 2008). On its own scale it is in every method's error alike; off it, it is nobody's.
CRITERION_ERROR = {"density": 2.4, "dxa": 0.0}
LEAST_OWN_ERROR = 1.5
# Equations built on the national survey's DXA read about this much above those built on underwater
# weighing [points]; in lean young women the gap was nearer 6, so the way down is less certain.
SCALE_OFFSET = 3.0
SCALE_SD = {"density": 2.5, "dxa": 2.0}
# Density of lean tissue by age, sex and ancestry: the conversions in print differ by this much around
# the common one at 20-30 % fat [points].
CONVERSION_SD = 1.0


def error_correlation(cards: Sequence[Equation], sex: Sex) -> Array:
    """Correlation of the errors of the cards, shape (E, E), from the estimates' correlation.

    Parameters
    ----------
    cards : sequence of Equation
        E cards that apply to ``sex``.
    sex : str
        ``female`` or ``male``: whose reference people are used.
    """
    percent, _ = fat_percents(cards, reference_people(sex), SIRI)
    centred = percent - np.nanmean(percent, axis=1, keepdims=True)
    centred = np.nan_to_num(centred)  # a person a formula has no value for tells nothing
    norm = np.linalg.norm(centred, axis=1)
    unit = centred / np.where(norm > 0, norm, 1.0)[:, None]
    correlation = unit @ unit.T
    np.fill_diagonal(correlation, 1.0)
    return np.asarray(correlation**ERROR_POWER)


_correlations: dict[tuple[object, ...], Array] = {}
_REMEMBERED = 16


def error_correlation_of(cards: Sequence[Equation], sex: Sex) -> Array:
    """Return ``error_correlation``, remembered by the keys and formulas of the cards."""
    name = (sex, *((card.key, card.formula) for card in cards))
    if name not in _correlations:
        if len(_correlations) >= _REMEMBERED:
            _correlations.clear()
        _correlations[name] = error_correlation(cards, sex)
    return _correlations[name]


def with_assumed_errors(cards: Sequence[Equation], se: Array) -> Array:
    """Fill the rows of cards without a printed error with the largest of their kind, (E, N)."""
    filled = se.copy()
    for row, card in enumerate(cards):
        if card.se is None:
            filled[row] = largest_of_its_kind(EQUATIONS, card.family)
    return filled


def without_criterion(cards: Sequence[Equation], se: Array) -> Array:
    """Take the criterion's own error out of the printed errors [points], shape (E, N).

    A printed error is the scatter around a criterion that errs itself. That part is not the
    equation's: on the scale of the criterion it returns as one error shared by all methods.
    """
    criterion = np.array([CRITERION_ERROR[card.scale] for card in cards])[:, None]
    return np.asarray(np.sqrt(np.maximum(se**2 - criterion**2, LEAST_OWN_ERROR**2)))


def own_carrying(card: Equation) -> float:
    """Own error of carrying a card to new people [points of fat]."""
    if card.n is None or card.n < MIDDLE_SAMPLE:
        return OWN_SMALL
    return OWN_LARGE if card.n >= LARGE_SAMPLE else OWN_MIDDLE


def shared_variance(scale: Scale) -> float:
    """Variance that every method shares on a scale [points²]."""
    return float(SHARED_NEW_PEOPLE[scale] ** 2 + CRITERION_ERROR[scale] ** 2)


def scale_moves(cards: Sequence[Equation], scale: Scale) -> Array:
    """Points to add to each card's estimate to put it on ``scale``, shape (E,)."""
    up = SCALE_OFFSET if scale == "dxa" else -SCALE_OFFSET
    return np.array([up if card.scale != scale else 0.0 for card in cards])


def family_rows(cards: Sequence[Equation]) -> Array:
    """Membership of the cards in the families, shape (4, E), as 0 and 1."""
    return np.array([[float(card.family == family) for card in cards] for family in FAMILIES])


def equation_spreads(
    cards: Sequence[Equation], se: Array, limit_variance: Array
) -> dict[str, Array]:
    """Standard deviations of each equation by block [points], each of shape (E, N).

    ``se`` holds the printed errors in points, NaN where none is printed; ``limit_variance`` what the
    distance outside the limits adds [points²].
    """
    own = np.array([own_carrying(card) for card in cards])[:, None]
    return {
        "published": np.nan_to_num(without_criterion(cards, with_assumed_errors(cards, se))),
        "new_people": np.broadcast_to(own, se.shape),
        "limits": np.sqrt(limit_variance),
    }


def shared_blocks(
    cards: Sequence[Equation], weights: Array, members: Array, present: Array, scale: Scale
) -> dict[str, Array]:
    """Covariances (N, 4, 4) of what methods share whatever their inputs.

    ``weights`` are the equations' within their families (E, N), ``present`` the families (N, 4).
    """
    moved = np.array([float(card.scale != scale) for card in cards])[:, None]
    dense = np.array([float(card.predicts == "density") for card in cards])[:, None]
    return {
        "shared": outer_block(present.T.astype(float), shared_variance(scale)),
        "scale": outer_block(members @ (weights * moved), SCALE_SD[scale] ** 2),
        "conversion": outer_block(members @ (weights * dense), CONVERSION_SD**2),
    }


def correlated_block(weighted: Array, correlation: Array, members: Array) -> Array:
    """Covariance of the families from equation errors with a common correlation.

    Parameters
    ----------
    weighted : array of shape (E, N)
        Weight times standard deviation of each equation, 0 where it is not used.
    correlation : array of shape (E, E)
        Of the equations' errors.
    members : array of shape (4, E)
        Which equation belongs to which family.

    Returns
    -------
    array of shape (N, 4, 4)
    """
    families = members.shape[0]
    block = np.zeros((weighted.shape[1], families, families))
    active = weighted.any(axis=1)
    rows = [np.flatnonzero((members[k] > 0) & active) for k in range(families)]
    for k in range(families):
        for j in range(k, families):
            reached = correlation[np.ix_(rows[j], rows[k])] @ weighted[rows[k]]
            block[:, j, k] = np.einsum("en,en->n", weighted[rows[j]], reached)
            block[:, k, j] = block[:, j, k]
    return block


def outer_block(loading: Array, variance: float | Array) -> Array:
    """Covariance of one shared error: ``loading loadingᵀ × variance``; loading has shape (4, N)."""
    block = loading.T[:, :, None] * loading.T[:, None, :]
    return np.asarray(block * np.asarray(variance)[..., None, None])


def require_positive_definite(covariance: Array) -> None:
    """Raise if any covariance (N, k, k) is not positive definite: a range from it would be a lie."""
    try:
        if not np.isfinite(covariance).all():
            raise np.linalg.LinAlgError
        np.linalg.cholesky(covariance)
    except np.linalg.LinAlgError:
        raise FoldspanError(
            [
                Problem(
                    "E502",
                    "error model",
                    "the covariance of the methods is not positive definite",
                    "Check the standard error of any equation you added: it must be above zero.",
                )
            ]
        ) from None
