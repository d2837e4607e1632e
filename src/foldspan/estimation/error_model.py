"""Error model: the covariance of the families' errors for one person, block by block.

It reads beside section 5 of docs/method.md: one function a block, in the order of the table there, with
its formula and its source. Every block is a rule, so an equation added tomorrow is covered without a
hand-typed row. The first three are errors of single equations, which ``error_correlation.py`` joins;
the others are errors that methods share, as covariances of the families: a family's load times a
variance times the other family's load.

Three rows of that table are worked out elsewhere: ``local`` in ``local_correction.py``,
``disagreement`` in ``families/combine.py``, ``outside`` in ``external/combine.py``. What levelling
makes of an equation's own error is in ``known_offsets.py``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

import numpy as np

from foldspan.catalogue import EQUATIONS, SIRI
from foldspan.catalogue.card import FAMILIES, Array, Bmi, Equation, Family, ReferenceMethod
from foldspan.catalogue.printed_error import largest_of_its_kind
from foldspan.estimation.cached import cached
from foldspan.estimation.evaluate import percents
from foldspan.estimation.families.batched_matrices import Symmetric
from foldspan.numerics.forward_diff import Slope
from foldspan.numerics.ordered_sums import inner, product
from foldspan.quantities import MEASURED, WAISTS, Sex
from foldspan.reference.equation_errors import SLOPE_WITH_SIZE, SURVEY_ERRORS
from foldspan.reference.population import reference_people

BLOCKS = (
    "published",
    "new_people",
    "limits",
    "shared",
    "reference_method",
    "conversion",
    "tester",
    "waist_site",
)

# ---- published: each equation among people like its own

# The criterion's own error: 2.4 points for underwater weighing against three compartments (Moon 2007,
# 2008). On its own scale it is in every method's error alike; off it, it is nobody's.
CRITERION_ERROR = {"density": 2.4, "dxa": 0.0}
LEAST_OWN_ERROR = 1.5


def published(card: Equation, se: Slope, sex: Sex, is_athlete: Array) -> Slope:
    """Block ``published``: variance of an equation in its own kind of people [points²].

    Formula: ``max(se² - criterion², 1.5²)``, or the survey's ``scatter² - new_people²`` where that is
    more; in an athlete ``athletes_variance`` where the error among athletes is in print. A printed
    error is the scatter around a criterion that errs itself: on the criterion's scale that part comes
    back as one error shared by all methods.

    Source: the card's paper; NHANES 1999-2002 (``reference/equation_errors.py``), which alone counts
    where nothing is printed; without it the largest printed error of the same kind. Criterion: Moon
    2007, 2008. The least of 1.5 points is our choice.

    Parameters
    ----------
    card : Equation
        The equation.
    se : float or array of shape (N,)
        Its printed error in points; not read where none is printed.
    sex : str
        Whose survey scatter is read.
    is_athlete : array of bool, shape (N,)
        Who is an athlete.
    """
    seen = SURVEY_ERRORS.get(card.key, {}).get(sex)
    scatter = None if seen is None else seen.scatter
    if card.see is None:
        se = largest_printed(card.method) if scatter is None else 0.0
    # an unknown weight leaves a printed mass without its points: the least counts
    variance = np.fmax(se**2 - CRITERION_ERROR[card.reference_method] ** 2, LEAST_OWN_ERROR**2)
    if scatter is not None:
        variance = np.maximum(variance, scatter**2 - transfer_sd(card) ** 2)
    if card.athletes_error is not None and is_athlete.any():
        tried = athletes_variance(card.athletes_error, card.reference_method)
        variance = np.where(is_athlete, tried, variance)
    return variance


@cache
def largest_printed(family: Family) -> float:
    """Return the largest printed error of a family in points; it stands in where none is printed."""
    return largest_of_its_kind(EQUATIONS, family)


def printed_or_largest(card: Equation, se: Slope) -> Slope:
    """Return a printed error in points, or the largest of its kind where none is printed."""
    return largest_printed(card.method) if card.see is None else se


# ---- new_people: an equation carried to people it was not built on

# Own part [points]: published cross-validations find constant errors of 1-4 points even in similar
# samples; smaller samples carry worse.
OWN_LARGE, OWN_MIDDLE, OWN_SMALL = 2.0, 2.5, 3.0
LARGE_SAMPLE, MIDDLE_SAMPLE = 500, 100


def new_people(card: Equation, is_athlete: Array) -> Slope:
    """Block ``new_people``: standard deviation of carrying an equation to other people [points].

    Formula: 2.0, 2.5 or 3.0 from a sample of 500, 100, fewer or unknown; 0 in an athlete (N,) where
    the error among athletes is in print, which holds it already.

    Source: constant errors of 1 to 4 points in published cross-validations of similar samples; the
    steps by the size of the sample are our choice.
    """
    if card.athletes_error is not None and is_athlete.any():
        return np.where(is_athlete, 0.0, transfer_sd(card))
    return transfer_sd(card)


def transfer_sd(card: Equation) -> float:
    """Return what carrying a card to new people costs who are no athletes [points]."""
    if card.n is None or card.n < MIDDLE_SAMPLE:
        return OWN_SMALL
    return OWN_LARGE if card.n >= LARGE_SAMPLE else OWN_MIDDLE


# ---- limits: a person outside the sample, or measured in another place

# Body mass index at which every equation is at home, and the spans where slopes are compared.
MIDDLE = (22.0, 30.0)
LEAN_SPAN, LARGE_SPAN = (18.5, 25.0), (30.0, 40.0)


def limits(outside: Slope, by_size: Array, precision: Slope, rest: Slope) -> Array:
    """Block ``limits``: variance of an equation beyond its sample [points²], (N,).

    Formula: ``outside + by_size``, and where an equation fades out (``precision`` below 1) the whole
    variance over ``precision``: ``v + (v + rest) (1 / precision - 1)``, without end at the edge.

    Source: 1.5 points a decade of age, 8 points a width of a sum's span, another variant of a site
    (``estimation/applicability.py``) are our choice; ``by_size`` is ``SizeVariance``, from the slopes
    of NHANES 1999-2002.

    ``by_size`` is written over. ``rest`` is ``published`` and the square of ``new_people``.
    """
    variance = by_size
    if isinstance(outside, np.ndarray) or outside:  # else nobody is outside
        variance += outside
    if isinstance(precision, np.ndarray):
        variance += (variance + rest) * (1.0 / precision - 1.0)
    return variance


class SizeVariance:
    """Variance that body size outside the middle adds to each equation [points²]."""

    def __init__(self, cards: Sequence[Equation], columns: Mapping[str, Array], sex: Sex) -> None:
        bmi = Bmi().of(columns)
        self._drift = cached(size_drift, cards, sex) ** 2
        known = np.where(np.isnan(bmi), MIDDLE[0], bmi)
        self._below = np.maximum(MIDDLE[0] - known, 0.0) ** 2
        self._above = np.maximum(known - MIDDLE[1], 0.0) ** 2

    def of(self, row: int) -> Array:
        """Return it for one card by its row, shape (N,)."""
        lean, large = self._drift[row]
        variance: Array = lean * self._below
        variance += large * self._above
        return variance


def size_drift(cards: Sequence[Equation], sex: Sex) -> Array:
    """How far each equation's slope with body size is from the survey's, shape (E, 2).

    Points of fat per unit of body mass index, for lean and for large bodies. Forms that are linear in
    weight or waist go on climbing where fat does not; forms that bend do not. The slope is read off
    the reference people, so a new equation needs no label.
    """
    people = reference_people(sex)
    bmi = Bmi().of(people)
    percent = percents(cards, people, SIRI)
    drift = np.empty((len(cards), 2))
    for side, (low, high) in enumerate((LEAN_SPAN, LARGE_SPAN)):
        inside = (bmi >= low) & (bmi < high)
        size = bmi[inside] - bmi[inside].mean()
        slope = product(np.nan_to_num(percent[:, inside]), size) / inner(size, size)
        drift[:, side] = np.abs(slope - SLOPE_WITH_SIZE[sex][side])
    return drift


# ---- shared: what all methods miss together

# Points missed in people whom no method was built on. Density: the root mean square of the constant
# errors in published cross-validations (Sinning 1985, Peterson 2003, Moon 2007 and 2008, Nickerson 2018
# and 2020: 1 to 6 points, mostly 2 to 3). DXA: the mean errors that levelled equations have in common in
# groups of the survey (tests/learning/learn_carrying.py: 0.84), times the one free factor.
SHARED_NEW_PEOPLE = {"density": 3.0, "dxa": 1.2}
# What methods still share in athletes, where the answer rests on equations whose total error in
# athletes is in print [points]: as much as in the survey. Their constant errors were near zero (Sinning
# 1985: three forms, -0.2 to 0.3 points at 9.2 % fat).
SHARED_ATHLETES = SHARED_NEW_PEOPLE["dxa"]


def shared(present: Array, tried: Mapping[int, Array], stated: ReferenceMethod) -> Symmetric:
    """Block ``shared``: one error that every method has in common, in points² by families.

    Formula: ``shared² + criterion²`` between any two families that are there; in an athlete the part
    ``untried`` of the weights carries the whole ``shared²``, the rest 1.2² in its place:
    ``shared² + criterion² - less + less untried untried'``, with ``less = shared² - 1.2²``.

    Source: constant errors of published cross-validations (beside ``SHARED_NEW_PEOPLE``), Moon 2007,
    2008 for the criterion, Sinning 1985 for athletes; on the DXA scale NHANES.

    Parameters
    ----------
    present : array of bool, shape (4, N)
        Which families are there.
    tried : mapping of int to array (N,)
        By family the weight of equations whose error in athletes is known, in athletes.
    stated : str
        The scale that fat is stated on.
    """
    here = {family: mask.astype(float) for family, mask in enumerate(present)}
    found = _by_loads(here, shared_variance(stated), present.shape[1])
    if tried and athletes_share_less(stated):
        # nothing is taken off, to the bit, where nobody is an athlete
        untried = {family: mask - tried.get(family, 0.0) for family, mask in here.items()}
        less = _by_loads(here, -athletes_share_less(stated), present.shape[1])
        less.add_outer(untried, athletes_share_less(stated))
        found = found.plus(less)
    return found


def _by_loads(loads: Mapping[int, Array], variance: float, count: int) -> Symmetric:
    """Covariance of the families from one error, by what each family takes of it."""
    found = Symmetric.zeros(len(FAMILIES), count)
    found.add_outer(loads, variance)
    return found


def shared_variance(stated: ReferenceMethod) -> float:
    """Variance that every method shares on a scale [points²]."""
    return float(SHARED_NEW_PEOPLE[stated] ** 2 + CRITERION_ERROR[stated] ** 2)


def athletes_share_less(stated: ReferenceMethod) -> float:
    """How much less variance athletes share where their equations were tried on athletes [points²]."""
    return float(max(SHARED_NEW_PEOPLE[stated] ** 2 - SHARED_ATHLETES**2, 0.0))


def athletes_variance(total: float, reference_method: ReferenceMethod) -> float:
    """Own variance in athletes of an equation built on ``scale`` [points²], carrying included.

    What its ``total`` error in print leaves beside the criterion's error and what methods share.
    """
    rest = total**2 - CRITERION_ERROR[reference_method] ** 2 - SHARED_ATHLETES**2
    return float(max(rest, LEAST_OWN_ERROR**2))


# ---- scale: an equation moved to the other reference method

# Equations built on the national survey's DXA read about this much above those built on underwater
# weighing [points]. For one person the step is less certain by the criterion's own error at least;
# in lean young women the gap was nearer 6, so the way down is less certain still.
REFERENCE_OFFSET = 3.0
REFERENCE_SD = {"density": 2.5, "dxa": 2.4}


def reference_method(moved: Mapping[int, Array], stated: ReferenceMethod, count: int) -> Symmetric:
    """Block ``reference_method``: the step between underwater weighing and DXA, in points² by families.

    Formula: ``moved 2.4² moved'`` up to DXA, ``moved 2.5² moved'`` down, where ``moved`` (N,) is by
    family the weight of equations of the other scale that are not levelled.

    Source: section 3 of docs/method.md; the error of the criterion (Moon 2007, 2008), and on the way
    down the wider gap in lean young women.
    """
    return _by_loads(moved, REFERENCE_SD[stated] ** 2, count)


def reference_shifts(cards: Sequence[Equation], stated: ReferenceMethod) -> Array:
    """Points to add to each card's estimate to put it on a scale, shape (E,)."""
    up = REFERENCE_OFFSET if stated == "dxa" else -REFERENCE_OFFSET
    return np.array([up if card.reference_method != stated else 0.0 for card in cards])


# ---- conversion: from body density to fat

# Density of lean tissue by age, sex and ancestry: the conversions in print differ by this much around
# the common one at 20-30 % fat [points].
CONVERSION_SD = 1.0


def conversion(dense: Mapping[int, Array], count: int) -> Symmetric:
    """Block ``conversion``: lean tissue denser or lighter than assumed, in points² by families.

    Formula: ``dense 1.0² dense'``, where ``dense`` (N,) is by family the weight of equations that
    predict density and are not levelled.

    Source: how far the conversions in ``catalogue/density_to_fat.py`` lie apart at 20 to 30 % fat.
    """
    return _by_loads(dense, CONVERSION_SD**2, count)


# ---- tester and waist_site: what readings do to the families

Loads = Mapping[str, Mapping[int, Array]]


def tester(loads: Loads, reading_se: Mapping[str, Array], count: int) -> Symmetric:
    """Block ``tester``: errors of the readings, in points² by families.

    Formula: over all readings ``slope se² slope'``, where ``slope`` (N,) is by family what one unit of
    a reading moves it, from exact gradients: equations that share a reading share its error. A reading
    whose error nobody knows adds nothing here.

    Source: the technical error of each site, its own or published (``protocol/technical_error.py``).
    """
    found = Symmetric.zeros(len(FAMILIES), count)
    for name in MEASURED:
        if name in loads and name in reading_se:
            error = reading_se[name]
            found.add_outer(loads[name], np.where(np.isnan(error), 0.0, error) ** 2)
    return found


def waist_site(loads: Loads, spread: Mapping[str, Array], count: int) -> Symmetric:
    """Block ``waist_site``: a waist at one level standing in for another, in points² by families.

    Formula: over all waists that were wanted ``slope spread² slope'``, ``spread`` [cm] of the
    difference between the two levels.

    Source: ``measurement/waist_conversion.py``, with the paper of each difference.
    """
    found = Symmetric.zeros(len(FAMILIES), count)
    for name in WAISTS:
        if name in loads:
            found.add_outer(loads[name], spread[name] ** 2)
    return found


# ---- what is said of one equation, whose error holds the shared blocks too


def shared_error(
    card: Equation, stated: ReferenceMethod, levelled: float = 0.0, *, is_athlete: bool = False
) -> float:
    """What an equation's whole error holds beside its own part [points]: shared, scale, conversion.

    As far as it is ``levelled``, 0 to 1, the way to the scale is part of its own error.
    """
    tried = -athletes_share_less(stated) if is_athlete and card.athletes_error is not None else 0.0
    variance = 0.0
    variance += REFERENCE_SD[stated] ** 2 if card.reference_method != stated else 0.0
    variance += CONVERSION_SD**2 if card.predicts == "density" else 0.0
    return float(np.sqrt(shared_variance(stated) + tried + (1.0 - levelled) * variance))


def families_of(cards: Sequence[Equation]) -> list[int]:
    """Return the family of every card, by its place in ``FAMILIES``."""
    return [FAMILIES.index(card.method) for card in cards]


def family_rows(cards: Sequence[Equation]) -> Array:
    """Membership of the cards in the families, shape (4, E), as 0 and 1."""
    return np.array([[float(card.method == family) for card in cards] for family in FAMILIES])
