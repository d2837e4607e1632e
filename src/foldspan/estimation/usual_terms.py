"""Usual terms: gap and scatter of each equation in usual bodies, read off the reference people.

How far an equation stands from the mean of the levelled ones goes with body size: that is its gap. How
single bodies lie around their gaps is its scatter, and what the scatter of several equations has in
common goes with size too: body mass index and waist go together less closely in lean bodies than in
large ones. ``usual_gaps.py`` sums both over the equations of a visit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from foldspan.catalogue import SIRI
from foldspan.catalogue.card import Array, Bmi, Equation, ReferenceMethod
from foldspan.estimation.error_model import REFERENCE_OFFSET, reference_shifts
from foldspan.estimation.evaluate import percents
from foldspan.estimation.known_offsets import Levelling
from foldspan.measurement.waist_conversion import bridge_waists
from foldspan.numerics.ordered_sums import least_squares, product, products_of_rows
from foldspan.quantities import WAISTS, Sex
from foldspan.reference.population import PEOPLE, dimensions, people_of, quasi_normals

# Reference people who are compared: adults, without the outermost bodies [years, kg/m²].
AGES, SIZES = (18.0, 85.0), (17.0, 45.0)
# Twice as many are drawn as elsewhere, and between these sizes [kg/m²] every other is left out: there
# are enough of those, and too few of the others to tell how they scatter.
MANY = (22.0, 31.0)
# Sizes between which a gap goes with size, and where its terms are centred [kg/m²].
SPAN, MIDDLE_SIZE = (18.5, 40.0), 26.0
# Fewer people with a value tell nothing.
LEAST_PEOPLE = 50
# So many directions hold nearly all that the deviations of the equations have in common: with 12, one in
# ten of what two skinfolds scatter was left out.
DIRECTIONS, LEAST_LEFT = 20, 1e-9
# Body mass index [kg/m²] at which the scatter around the gaps is read off, straight between two, and
# the least variance there [points²], for an equation that hardly scatters.
SCATTER_SIZES, LEAST_VARIANCE = (20.0, 25.0, 30.0, 36.0), 0.05
# The waist from which the others are taken for the scatter, so that each is one of the same body's, and
# those whose own way of lying beside it is added where they were read.
ILIAC_WAIST, NARROWEST, NAVEL = "waist_iliac_cm", "waist_narrowest_cm", "abdomen_navel_cm"
OTHER_WAISTS = ("waist_midpoint_cm", NAVEL)
# The narrowest waist follows the build more than the other levels do. It and the navel's stand in for
# each other where one was not read, and then an equation stands apart in another way: the level that is
# wanted, and the one that was measured.
STAND_INS = ((NARROWEST, NAVEL), (NAVEL, NARROWEST))


class UsualTerms(NamedTuple):
    """What usual bodies make of E equations [points], in R = 3 E rows.

    First as measured, then by each of ``STAND_INS``; an equation that does not read the wanted level
    has the same there. ``gaps`` (R, 3) are level, slope and bend of the usual gap with size,
    ``directions`` (4, ``DIRECTIONS``, R) how the equations deviate from it at ``SCATTER_SIZES``: the
    covariance of the deviations is the product of the directions with themselves, each of the four by
    its share at the size (``scatter_shares``).
    """

    gaps: Array
    directions: Array


def size_of(columns: Mapping[str, Array]) -> Array:
    """Body mass index around the middle size [kg/m²]; 0 where it is unknown."""
    with np.errstate(invalid="ignore", divide="ignore"):
        bmi = Bmi().of(columns)
    return np.asarray(np.nan_to_num(bmi.clip(*SPAN) - MIDDLE_SIZE))


def scatter_shares(size: Array) -> Array:
    """How much each of ``SCATTER_SIZES`` counts at sizes (N,), shape (4, N): straight between two."""
    return np.stack(
        [np.interp(size + MIDDLE_SIZE, SCATTER_SIZES, row) for row in np.eye(len(SCATTER_SIZES))]
    )


def adults(people: Mapping[str, Array]) -> dict[str, Array]:
    """Return the columns of those reference people who can be compared."""
    bmi = Bmi().of(people)
    kept = (people["age_years"] >= AGES[0]) & (people["age_years"] < AGES[1])
    kept &= (bmi > SIZES[0]) & (bmi < SIZES[1])
    return {name: column[kept] for name, column in people.items()}


@lru_cache(maxsize=2)
def reference_bodies(sex: Sex) -> dict[str, Array]:
    """Return the columns of the reference people who are compared; do not change them."""
    people = adults(people_of(sex, quasi_normals(2 * PEOPLE, dimensions(sex))))
    bmi = Bmi().of(people)
    many = (bmi > MANY[0]) & (bmi < MANY[1])
    kept = ~many | (np.cumsum(many) % 2 == 0)
    return {name: column[kept] for name, column in people.items()}


def with_iliac_waist(people: Mapping[str, Array], sex: Sex) -> dict[str, Array]:
    """Return the columns with the waist at the hip bone in place of the levels beside it.

    The narrowest is left: it is no neighbour that it could stand in for, but one that follows the build.
    """
    nobody = np.full(people[ILIAC_WAIST].shape, np.nan)
    hidden = dict(people) | dict.fromkeys((*OTHER_WAISTS, NARROWEST), nobody)
    return dict(bridge_waists(hidden, sex).columns) | {NARROWEST: people[NARROWEST]}


def from_other_level(
    columns: Mapping[str, Array], sex: Sex, wanted: str, measured: str
) -> dict[str, Array]:
    """Return the columns with one level of the waist taken from another."""
    others = dict.fromkeys(set(WAISTS) - {measured}, np.full(columns[measured].shape, np.nan))
    return dict(columns) | {wanted: bridge_waists(dict(columns) | others, sex).columns[wanted]}


def reads(card: Equation, level: str) -> bool:
    """Whether an equation reads a level of the waist."""
    return level in card.quantities


def usual_terms(
    cards: Sequence[Equation], sex: Sex, reference_method: ReferenceMethod, mode: str
) -> UsualTerms:
    """Return gap and scatter of each card in usual bodies.

    Read off the reference people against the mean of all levelled equations, as DXA reads. ``mode`` is
    ``levelled`` or ``as printed``.
    """
    stand = _how_they_stand(cards, sex, reference_method, mode)
    by_size = _by_size(stand.size)
    gaps = _fitted(by_size, stand.apart)
    directions = _directions(stand.apart - product(gaps, by_size.T), stand.size, stand.shares)
    return UsualTerms(gaps[stand.places], directions[:, :, stand.places])


def usual_gaps(
    cards: Sequence[Equation], sex: Sex, reference_method: ReferenceMethod, mode: str
) -> Array:
    """Return the gaps (R, 3) of ``usual_terms`` alone, where nobody asks for the scatter."""
    stand = _how_they_stand(cards, sex, reference_method, mode)
    return _fitted(_by_size(stand.size), stand.apart)[stand.places]


class _Stand(NamedTuple):
    """How far cards stand from the middle in usual bodies [points].

    ``apart`` (K, N) has a row a card and way in which it differs, NaN where too few have a value,
    ``shares`` (K,) are those of ``in_common``, ``size`` (N,) is that of the bodies; ``places`` (R,) say
    which row each row of ``UsualTerms`` is.
    """

    apart: Array
    shares: Array
    size: Array
    places: Array


def _how_they_stand(
    cards: Sequence[Equation], sex: Sex, reference_method: ReferenceMethod, mode: str
) -> _Stand:
    count = len(cards)
    columns = with_iliac_waist(reference_bodies(sex), sex)
    printed = list(percents(cards, columns, SIRI))
    level = Levelling(columns, sex, "dxa")
    known = {row for row, card in enumerate(cards) if level.applies_to(card)} or set(range(count))
    to_dxa, moves = reference_shifts(cards, "dxa"), reference_shifts(cards, reference_method)
    middle = np.nanmean(
        [
            printed[row] + to_dxa[row] - level.offset(cards[row], printed[row])
            for row in sorted(known)
        ],
        axis=0,
    )
    if reference_method != "dxa":
        middle = middle - REFERENCE_OFFSET
    is_levelled = reference_method == "dxa" and mode == "levelled"
    rows = list(range(count))
    for way, (wanted, measured) in enumerate(STAND_INS, 1):
        readers = [row for row, card in enumerate(cards) if reads(card, wanted)]
        given = from_other_level(columns, sex, wanted, measured)
        printed += list(percents([cards[row] for row in readers], given, SIRI))
        rows += [way * count + row for row in readers]
    apart = np.empty((len(rows), columns["weight_kg"].size))
    for place, (row, percent) in enumerate(zip(rows, printed, strict=True)):
        own = row % count
        offset = level.offset(cards[own], percent) if is_levelled and own in known else 0.0
        apart[place] = percent + moves[own] - offset - middle
    apart[np.isfinite(apart).sum(axis=1) < LEAST_PEOPLE] = np.nan
    # each family counts alike, however many equations it has
    families = [card.method for card in cards]
    shares = np.array([1.0 / families.count(families[row % count]) for row in rows])
    # an equation that does not read a level stands as it does as measured
    source = np.tile(np.arange(count), 1 + len(STAND_INS))
    source[rows] = rows
    return _Stand(apart, shares, size_of(columns), np.searchsorted(rows, source))


def _by_size(size: Array) -> Array:
    return np.column_stack([np.ones_like(size), size, size**2])


def _directions(rest: Array, size: Array, shares: Array) -> Array:
    """Directions (4, ``DIRECTIONS``, K) from the residuals of K rows (K, N) about their gaps."""
    between = scatter_shares(size).T
    variance = np.maximum(_fitted(between, rest**2), LEAST_VARIANCE)
    np.nan_to_num(rest, copy=False)
    directions = []
    for here, own in zip(between.T, variance.T, strict=True):
        counted = rest[:, here > 0.0] * np.sqrt(here[here > 0.0])
        together = products_of_rows(counted)
        scale = np.sqrt(own / np.maximum(np.diag(together), 1e-12))
        directions.append(in_common(together * scale[:, None] * scale, shares))
    return np.stack(directions)


def _fitted(design: Array, values: Array) -> Array:
    """Least squares of every row of ``values`` (E, N) on ``design`` (N, K), shape (E, K).

    Where a row has values for some people only, on those; where for nobody it is zero.
    """
    inverse = np.linalg.inv(product(design.T, design))
    is_whole = bool(np.isfinite(values).all())
    found = product(product(values if is_whole else np.nan_to_num(values), design), inverse)
    for row in [] if is_whole else np.flatnonzero(np.isnan(values).any(axis=1)):
        has = np.isfinite(values[row])
        found[row] = least_squares(design[has], values[row, has]) if has.any() else 0.0
    return found


def in_common(matrix: Array, shares: Array) -> Array:
    """Return the directions (``DIRECTIONS``, E) that make up most of a covariance (E, E).

    By its Cholesky factor, the row first that accounts for most of what is left, where equations count
    by their ``shares``.
    """
    left = matrix.copy()
    directions = np.zeros((DIRECTIONS, len(matrix)))
    for direction in directions:
        own = np.diag(left)
        row = int(np.argmax(product(left**2, shares) / np.where(own > LEAST_LEFT, own, np.inf)))
        if own[row] <= LEAST_LEFT:
            break
        direction[:] = left[row] / np.sqrt(own[row])
        left -= np.outer(direction, direction)
    return directions
