"""Error model: the covariance of the families' errors for one person, block by block.

Every block is a rule, so an equation added tomorrow is covered without a hand-typed row:

===============  ==================================================================================
published        the printed standard error of each equation, or its scatter in the survey if larger
new_people       carrying an equation to people it was not built on: own part by equation
limits           distance outside the sample's limits, another site variant, another body size
shared           what all methods share for this person: one term for everything
scale            moving an equation from one criterion to the other
conversion       density-to-fat conversion, shared by all equations that predict density
tester           readings, through the gradients: equations that share a reading share its error
waist_site       a waist at one level standing in for another
===============  ==================================================================================

``published``, ``new_people`` and ``limits`` correlate between equations by one rule: a power of the
correlation of the two *estimates* over the reference people. As printed it is the fourth power: found on
NHANES 1999-2002 (intercept 0.01, slope 1.01, scatter 0.11), it held on other people, NHANES 2003-06
(rmse .08 women, .10 men) and 2011-16 (.07, .07). Once equations are levelled it is the third power of
the correlation of the levelled estimates (on 1999-2002: rmse .07 women, .09 men; the fourth .11, .09,
the second .12, .17). A whole power of a correlation matrix, element by element, stays positive
semi-definite (Schur product theorem).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import Any, TypeVar

import numpy as np

from foldspan.catalogue import EQUATIONS, SIRI
from foldspan.catalogue.card import FAMILIES, Array, Equation, Family, Scale
from foldspan.catalogue.printed_error import largest_of_its_kind
from foldspan.estimation.covariance import Group, Weighted, correlated, grouped
from foldspan.estimation.evaluate import fat_percents
from foldspan.estimation.known_offsets import Levelling
from foldspan.numerics.batched_matrices import Symmetric, eliminate
from foldspan.numerics.forward_diff import Slope
from foldspan.numerics.ordered_sums import inner, product
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import Sex
from foldspan.reference.equation_errors import SEEN, SLOPE_WITH_SIZE
from foldspan.reference.population import reference_people

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
AS_PRINTED, LEVELLED = "as printed", "levelled"
ERROR_POWER = {AS_PRINTED: 4, LEVELLED: 3}
# Own part of carrying an equation to new people [points]: published cross-validations find constant
# errors of 1-4 points even in similar samples; smaller samples carry worse.
OWN_LARGE, OWN_MIDDLE, OWN_SMALL = 2.0, 2.5, 3.0
LARGE_SAMPLE, MIDDLE_SAMPLE = 500, 100
# Shared part [points]: what all methods miss together in people they were not built on. Density: the
# root mean square of the constant errors in published cross-validations (Sinning 1985, Peterson
# 2003, Moon 2007 and 2008, Nickerson 2018 and 2020: 1 to 6 points, mostly 2 to 3). DXA: set so that
# ranges on NHANES 1999-2002 hold a little more often than they say.
SHARED_NEW_PEOPLE = {"density": 3.0, "dxa": 1.1}
# The criterion's own error: 2.4 points for underwater weighing against three compartments (Moon 2007,
# 2008). On its own scale it is in every method's error alike; off it, it is nobody's.
CRITERION_ERROR = {"density": 2.4, "dxa": 0.0}
LEAST_OWN_ERROR = 1.5
# What methods still share in athletes, where the answer rests on equations whose total error in
# athletes is in print [points]: as much as in the survey. Their constant errors were near zero (Sinning
# 1985: three forms, -0.2 to 0.3 points at 9.2 % fat).
SHARED_ATHLETES = 1.1
# Equations built on the national survey's DXA read about this much above those built on underwater
# weighing [points]. For one person the step is less certain by the criterion's own error at least;
# in lean young women the gap was nearer 6, so the way down is less certain still.
SCALE_OFFSET = 3.0
SCALE_SD = {"density": 2.5, "dxa": 2.4}
# Body mass index at which every equation is at home, and the spans where slopes are compared.
MIDDLE = (22.0, 30.0)
LEAN_SPAN, LARGE_SPAN = (18.5, 25.0), (30.0, 40.0)
# Density of lean tissue by age, sex and ancestry: the conversions in print differ by this much around
# the common one at 20-30 % fat [points].
CONVERSION_SD = 1.0


def error_correlation(cards: Sequence[Equation], sex: Sex, rule: str = AS_PRINTED) -> Array:
    """Correlation of the errors of the cards, shape (E, E), from the estimates' correlation.

    Parameters
    ----------
    cards : sequence of Equation
        E cards that apply to ``sex``.
    sex : str
        ``female`` or ``male``: whose reference people are used.
    rule : str
        ``AS_PRINTED`` or ``LEVELLED``: which estimates are compared, and the power that goes with them.
    """
    people = reference_people(sex)
    percent, _ = fat_percents(cards, people, SIRI)
    if rule == LEVELLED:
        levelling = Levelling(people, sex, "dxa")
        for one, card in zip(percent, cards, strict=True):
            levelled = levelling.of(card)
            one -= 0.0 if levelled is None else levelled.offset
    centred = percent - np.nanmean(percent, axis=1, keepdims=True)
    centred = np.nan_to_num(centred)  # a person a formula has no value for tells nothing
    norm = np.linalg.norm(centred, axis=1)
    unit = centred / np.where(norm > 0, norm, 1.0)[:, None]
    correlation = product(unit, unit.T)
    np.fill_diagonal(correlation, 1.0)
    return np.asarray(correlation ** ERROR_POWER[rule])


_memory: dict[tuple[object, ...], Any] = {}
_REMEMBERED = 24
_Said = TypeVar("_Said")


def remembered(rule: Callable[..., _Said], cards: Sequence[Equation], *more: str) -> _Said:
    """Return what a rule says of the cards, remembered by their keys and formulas."""
    name = (rule.__name__, *more, *((card.key, card.formula) for card in cards))
    if name not in _memory:
        if len(_memory) >= _REMEMBERED:
            _memory.clear()
        _memory[name] = rule(cards, *more)
    said: _Said = _memory[name]
    return said


def error_correlation_of(cards: Sequence[Equation], sex: Sex, rule: str = AS_PRINTED) -> Array:
    """Return ``error_correlation``, remembered."""
    return remembered(error_correlation, cards, sex, rule)


def groups_of(cards: Sequence[Equation]) -> tuple[Group, ...]:
    """Return the groups in which equations are added up, remembered."""
    return remembered(grouped, cards)


@cache
def largest_printed(family: Family) -> float:
    """Return the largest printed error of a family in points; it stands in where none is printed."""
    return largest_of_its_kind(EQUATIONS, family)


def printed_or_largest(card: Equation, se: Slope) -> Slope:
    """Return a printed error in points, or the largest of its kind where none is printed."""
    return largest_printed(card.family) if card.se is None else se


def published_spread(cards: Sequence[Equation], se: Array, sex: Sex) -> Array:
    """Error of each equation in its own kind of people [points], shape (E, N).

    Parameters
    ----------
    cards : sequence of Equation
        E cards.
    se : array of shape (E, N)
        Printed errors in points, NaN where none is printed.
    sex : str
        Whose survey scatter is read.

    Returns
    -------
    array of shape (E, N)
        The printed error, or the largest of its kind where none is printed, without the criterion's
        own error: a printed error is the scatter around a criterion that errs itself, and on the
        criterion's scale that part returns as one error shared by all methods. Where the survey shows
        more scatter than that and the carrying error together explain, the survey counts; where
        nothing is printed, the survey alone.
    """
    rows = [
        np.broadcast_to(np.sqrt(published_variance(card, one, sex)), one.shape)
        for card, one in zip(cards, se, strict=True)
    ]
    return np.array(rows)


def published_variance(card: Equation, se: Slope, sex: Sex) -> Slope:
    """Square of ``published_spread`` for one card; one number where the printed error is one."""
    seen = SEEN.get(card.key, {}).get(sex)
    scatter = None if seen is None else seen.scatter
    if card.se is None:
        se = largest_printed(card.family) if scatter is None else 0.0
    # an unknown weight leaves a printed mass without its points: the least counts
    variance = np.fmax(se**2 - CRITERION_ERROR[card.scale] ** 2, LEAST_OWN_ERROR**2)
    if scatter is not None:
        variance = np.maximum(variance, scatter**2 - own_carrying(card) ** 2)
    return variance


def size_drift(cards: Sequence[Equation], sex: Sex) -> Array:
    """How far each equation's slope with body size is from the survey's, shape (E, 2).

    Points of fat per unit of body mass index, for lean and for large bodies. Forms that are linear in
    weight or waist go on climbing where fat does not; forms that bend do not. The slope is read off
    the reference people, so a new equation needs no label.
    """
    people = reference_people(sex)
    bmi = people["weight_kg"] / (people["height_cm"] / 100.0) ** 2
    percent, _ = fat_percents(cards, people, SIRI)
    drift = np.empty((len(cards), 2))
    for side, (low, high) in enumerate((LEAN_SPAN, LARGE_SPAN)):
        inside = (bmi >= low) & (bmi < high)
        size = bmi[inside] - bmi[inside].mean()
        slope = product(np.nan_to_num(percent[:, inside]), size) / inner(size, size)
        drift[:, side] = np.abs(slope - SLOPE_WITH_SIZE[sex][side])
    return drift


class SizeVariance:
    """Variance that body size outside the middle adds to each equation [points²]."""

    def __init__(self, cards: Sequence[Equation], columns: Mapping[str, Array], sex: Sex) -> None:
        bmi = columns["weight_kg"] / (columns["height_cm"] / 100.0) ** 2
        self._drift = remembered(size_drift, cards, sex) ** 2
        known = np.where(np.isnan(bmi), MIDDLE[0], bmi)
        self._below = np.maximum(MIDDLE[0] - known, 0.0) ** 2
        self._above = np.maximum(known - MIDDLE[1], 0.0) ** 2

    def of(self, row: int) -> Array:
        """Return it for one card by its row, shape (N,)."""
        lean, large = self._drift[row]
        variance: Array = lean * self._below
        variance += large * self._above
        return variance


def own_carrying(card: Equation) -> float:
    """Own error of carrying a card to new people [points of fat]."""
    if card.n is None or card.n < MIDDLE_SAMPLE:
        return OWN_SMALL
    return OWN_LARGE if card.n >= LARGE_SAMPLE else OWN_MIDDLE


def athletes_variance(total: float, scale: Scale) -> float:
    """Own variance in athletes of an equation built on ``scale`` [points²], carrying included.

    What its ``total`` error in print leaves beside the criterion's error and what methods share.
    """
    rest = total**2 - CRITERION_ERROR[scale] ** 2 - SHARED_ATHLETES**2
    return float(max(rest, LEAST_OWN_ERROR**2))


def shared_less(scale: Scale) -> float:
    """How much less variance athletes share where their equations were tried on athletes [points²]."""
    return float(max(SHARED_NEW_PEOPLE[scale] ** 2 - SHARED_ATHLETES**2, 0.0))


def shared_variance(scale: Scale) -> float:
    """Variance that every method shares on a scale [points²]."""
    return float(SHARED_NEW_PEOPLE[scale] ** 2 + CRITERION_ERROR[scale] ** 2)


def shared_error(
    card: Equation, scale: Scale, levelled: float = 0.0, *, is_athlete: bool = False
) -> float:
    """What an equation's whole error holds beside its own part [points]: shared, scale, conversion.

    As far as it is ``levelled``, 0 to 1, the way to the scale is part of its own error.
    """
    tried = -shared_less(scale) if is_athlete and card.athletes_error is not None else 0.0
    variance = 0.0
    variance += SCALE_SD[scale] ** 2 if card.scale != scale else 0.0
    variance += CONVERSION_SD**2 if card.predicts == "density" else 0.0
    return float(np.sqrt(shared_variance(scale) + tried + (1.0 - levelled) * variance))


def scale_moves(cards: Sequence[Equation], scale: Scale) -> Array:
    """Points to add to each card's estimate to put it on ``scale``, shape (E,)."""
    up = SCALE_OFFSET if scale == "dxa" else -SCALE_OFFSET
    return np.array([up if card.scale != scale else 0.0 for card in cards])


def family_rows(cards: Sequence[Equation]) -> Array:
    """Membership of the cards in the families, shape (4, E), as 0 and 1."""
    return np.array([[float(card.family == family) for card in cards] for family in FAMILIES])


def shared_blocks(
    moved: Mapping[int, Array],
    dense: Mapping[int, Array],
    tried: Mapping[int, Array],
    present: Array,
    scale: Scale,
) -> dict[str, Symmetric]:
    """Covariances of what methods share whatever their inputs.

    ``moved`` is by family the weight of its equations of another scale, (N,), ``dense`` that of those
    that predict density, ``tried`` that of those whose error in athletes is known where the person is
    one; ``present`` are the families (4, N).
    """
    here = {family: one.astype(float) for family, one in enumerate(present)}
    found = {}
    for name, loads, variance in (
        ("shared", here, shared_variance(scale)),
        ("scale", moved, SCALE_SD[scale] ** 2),
        ("conversion", dense, CONVERSION_SD**2),
    ):
        found[name] = Symmetric.zeros(len(FAMILIES), present.shape[1])
        found[name].add_outer(loads, variance)
    if tried and shared_less(scale):
        # nothing is taken off, to the bit, where nobody is an athlete
        untried = {family: one - tried.get(family, 0.0) for family, one in here.items()}
        less = Symmetric.zeros(len(FAMILIES), present.shape[1])
        less.add_outer(here, -shared_less(scale))
        less.add_outer(untried, shared_less(scale))
        found["shared"] = found["shared"].plus(less)
    return found


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
    own = [tuple(np.flatnonzero(family).tolist()) for family in members]
    groups = [Group(family, some) for family, some in enumerate(own) if some]
    given = Weighted(groups, 1, weighted.shape[1])
    for row, one in enumerate(weighted):
        given.put(row, one, [1.0])
    return correlated(given, correlation, len(members))[0].whole()


def require_positive_definite(covariance: Array) -> None:
    """Raise if any covariance (N, k, k) is not positive definite: a range from it would be a lie."""
    require_sound(Symmetric.of(covariance))


def require_sound(covariance: Symmetric) -> None:
    """``require_positive_definite`` for covariances by their elements."""
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        pivots = eliminate(covariance).pivots
        is_sound = all(bool(((one > 0.0) & (one < np.inf)).all()) for one in pivots)
    if not is_sound:
        raise FoldspanError(
            [
                Problem(
                    "E502",
                    "error model",
                    "the covariance of the methods is not positive definite",
                    "Check the standard error of any equation you added: it must be above zero.",
                )
            ]
        )
