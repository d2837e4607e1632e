"""Usual gaps: how far each equation stands apart in usual bodies, which is no disagreement.

Published equations differ in people who were measured without a fault: the seven-fold sums of one
handbook read four points below the waist in most women. A verdict that methods disagree
should rest on this body or these readings. So for the verdict, and for the widening that goes with it,
each equation is compared with what it usually gives beside the levelled equations, by body size. The
estimate itself is not moved: their difference does not show which of two equations is right.

Around these gaps usual bodies scatter, because no two are built alike: mostly by less than the errors of
the methods would let expect, and by how much depends on what was measured. For the verdict alone the
misfit is held against that scatter (``families/combine.py``). Gaps and scatter are read off the
reference people, so an equation added tomorrow has both.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from foldspan.catalogue import SIRI
from foldspan.catalogue.card import FAMILIES, Array, Bmi, Equation, ReferenceMethod
from foldspan.estimation.cached import cached
from foldspan.estimation.error_model import SCALE_OFFSET, Loads, families_of, scale_moves
from foldspan.estimation.evaluate import fat_percents
from foldspan.estimation.families.batched_matrices import Symmetric, places
from foldspan.estimation.families.covariance import Weighted, weighted_outer
from foldspan.estimation.known_offsets import Levelling
from foldspan.estimation.settings import Settings
from foldspan.measurement.waist_conversion import NUMBER, Bridged, bridge_waists
from foldspan.numerics.ordered_sums import least_squares, product
from foldspan.quantities import Sex
from foldspan.reference.population import WAIST_SPREAD, reference_people

# Reference people who are compared: adults, without the outermost bodies [years, kg/m²].
AGES, SIZES = (18.0, 85.0), (17.0, 45.0)
# Sizes between which a gap goes with size, and where its terms are centred [kg/m²].
SPAN, MIDDLE_SIZE = (18.5, 40.0), 26.0
# Fewer people with a value tell nothing.
LEAST_PEOPLE = 50
# Cells of that span for what is certain of a gap before it is worked out.
CELLS = 43
# So many directions hold nearly all that the deviations of the equations have in common.
DIRECTIONS, LEAST_LEFT = 12, 1e-9
# Body mass index [kg/m²] at which the variance around a gap is read off before a curve is laid through
# it, and the least there [points²], for an equation that hardly scatters. What deviations have in common
# is read off at the two ends, and between them in one.
SCATTER_SIZES, LEAST_VARIANCE = (20.0, 25.0, 30.0, 36.0), 0.05
# The waist from which the others are taken for the scatter, so that each is one of the same body's, and
# those whose own way of lying beside it is added where they were read.
ONE_WAIST, NARROWEST = "waist_iliac_cm", "waist_narrowest_cm"
OTHER_WAISTS = ("waist_midpoint_cm", "abdomen_navel_cm")


class UsualTerms(NamedTuple):
    """What usual bodies make of E equations [points].

    ``gaps`` (E, 3) are level, slope and bend of the usual gap with size, ``scatter`` (E, 3) those of the
    standard deviation around it, ``directions`` (3, ``DIRECTIONS``, E) what the deviations have in
    common in lean, middle and large bodies: their correlation is the product of the directions with
    themselves, each of the three by its share at the size (``body_shares``).
    """

    gaps: Array
    scatter: Array
    directions: Array


class UsualGaps:
    """Sums usual gaps of the equations in use for N people, by family, and the scatter around them.

    ``families`` (4, N) are the gaps; without ``with_scatter`` there is nothing else.
    """

    def __init__(
        self,
        cards: Sequence[Equation],
        columns: Mapping[str, Array],
        sex: Sex,
        settings: Settings,
        *,
        with_scatter: bool = True,
    ) -> None:
        mode = "as printed" if settings.as_printed else "levelled"
        self._terms = cached(usual_terms, cards, sex, settings.reference_method, mode)
        self._columns = columns
        self._size = size_of(columns)
        self._cell: Array | None = None
        self.families = np.zeros((len(FAMILIES), self._size.size))
        families = families_of(cards)
        self._weighted = Weighted(families, 1, self._size.size) if with_scatter else None

    def add(self, row: int, family: int, weights: Array) -> None:
        """Add one card by its row, with its weights in its family, (N,)."""
        gap = self._at_size(self._terms.gaps[row])
        gap *= weights
        self.families[family] += gap
        if self._weighted is not None:
            self._weighted.add(row, weights, (self._at_size(self._terms.scatter[row]),))

    def _at_size(self, terms: Array) -> Array:
        """Level, slope and bend at these people's size."""
        level, slope, bend = terms
        found = self._size * bend
        found += slope
        found *= self._size
        found += level
        return np.asarray(found)

    def between(self, rows: Sequence[int]) -> tuple[Array, Array]:
        """Return two gaps between which those of some cards lie at each size [points], (N,) each.

        By cells of size, so that many cards cost no more than one: inside a cell of width w a parabola
        leaves the values at its ends by ``bend w² / 4`` at most.
        """
        level, slope, bend = self._terms.gaps[list(rows)].T[:, :, None]
        edges = np.linspace(SPAN[0], SPAN[1], CELLS + 1) - MIDDLE_SIZE
        width = edges[1] - edges[0]
        ends = level + edges * (slope + edges * bend)
        room = np.abs(bend) * width**2 / 4.0
        lowest = np.min(np.minimum(ends[:, :-1], ends[:, 1:]) - room, axis=0)
        highest = np.max(np.maximum(ends[:, :-1], ends[:, 1:]) + room, axis=0)
        if self._cell is None:
            self._cell = ((self._size - edges[0]) / width).astype(np.intp).clip(0, CELLS - 1)
        return lowest.take(self._cell), highest.take(self._cell)

    def normalise(self, per_total: Array) -> None:
        """Make the gaps of every family means, by one over the sum of its weights (4, N)."""
        self.families *= per_total

    def scatter(
        self, per_total: Array, loads: Loads, stand_in: Loads, bridged: Bridged
    ) -> Symmetric | None:
        """Return how the families of usual bodies scatter around their gaps, in points².

        ``loads`` and ``stand_in`` are those of ``measurement_error.reading_loads``. A level of the waist
        lies around the others by ``WAIST_SPREAD`` of it; that is added where a reading of one level
        speaks for the equations of another.
        """
        if self._weighted is None:
            return None
        found = self._in_common(self._weighted)
        for j, k in places(len(FAMILIES)):
            found.elements[j, k] *= per_total[j] * per_total[k]
        elsewhere = {name: dict(loads[name]) for name in OTHER_WAISTS if name in loads}
        for wanted, by_family in stand_in.items():
            is_narrowest = bridged.numbers[wanted] == NUMBER[NARROWEST]
            if is_narrowest.any():
                held = elsewhere.setdefault(NARROWEST, {})
                for family, part in by_family.items():
                    held[family] = held.get(family, 0.0) + np.where(is_narrowest, part, 0.0)
        for name, by_family in elsewhere.items():
            spread = WAIST_SPREAD * np.nan_to_num(self._columns[name])
            found.add_outer(by_family, spread**2)
        return found

    def _in_common(self, weighted: Weighted) -> Symmetric:
        """What the deviations of the families have in common, before their weights are made means."""
        return weighted_outer(weighted, self._terms.directions, body_shares(self._size))


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


def body_shares(size: Array) -> Array:
    """How much lean, middle and large bodies count at sizes (N,), shape (3, N); together one.

    Body mass index and waist go together less closely in lean bodies than in large ones, so that one
    correlation for all sizes would call too many lean bodies odd.
    """
    lean, *middle, large = scatter_shares(size)
    return np.stack([lean, sum(middle, np.zeros(size.size)), large])


def usual_bodies(sex: Sex) -> dict[str, Array]:
    """Return the columns of the reference people who are compared."""
    people = reference_people(sex)
    bmi = Bmi().of(people)
    adults = (people["age_years"] >= AGES[0]) & (people["age_years"] < AGES[1])
    adults &= (bmi > SIZES[0]) & (bmi < SIZES[1])
    return {name: column[adults] for name, column in people.items()}


def with_one_waist(people: Mapping[str, Array], sex: Sex) -> dict[str, Array]:
    """Return the columns with the waist at the hip bone in place of the levels beside it.

    The narrowest is left: it is no neighbour that it could stand in for, but one that follows the build.
    """
    nobody = np.full(people[ONE_WAIST].shape, np.nan)
    hidden = dict(people) | dict.fromkeys((*OTHER_WAISTS, NARROWEST), nobody)
    return dict(bridge_waists(hidden, sex).columns) | {NARROWEST: people[NARROWEST]}


def usual_terms(
    cards: Sequence[Equation], sex: Sex, reference_method: ReferenceMethod, mode: str
) -> UsualTerms:
    """Return gap and scatter of each card in usual bodies.

    Read off the reference people against the mean of all levelled equations, as DXA reads. ``mode`` is
    ``levelled`` or ``as printed``.
    """
    columns = with_one_waist(usual_bodies(sex), sex)
    printed, _ = fat_percents(cards, columns, SIRI)
    size = size_of(columns)
    level = Levelling(columns, sex, "dxa")
    on_dxa = printed + scale_moves(cards, "dxa")[:, None]
    known = [row for row, card in enumerate(cards) if level.applies_to(card)] or range(len(cards))
    levelled = [on_dxa[row] - level.offset(cards[row], printed[row]) for row in known]
    middle = np.nanmean(levelled, axis=0)
    on_scale = printed + scale_moves(cards, reference_method)[:, None]
    if reference_method == "dxa" and mode == "levelled":
        on_scale[known] = levelled
    # each family counts alike, however many equations it has
    families = [card.method for card in cards]
    shares = np.array([1.0 / families.count(family) for family in families])
    return _terms(
        on_scale - (middle if reference_method == "dxa" else middle - SCALE_OFFSET), size, shares
    )


def _terms(apart: Array, size: Array, shares: Array) -> UsualTerms:
    """Gap and scatter from how far each equation stands from the middle, (E, N)."""
    by_size = np.column_stack([np.ones_like(size), size, size**2])
    between = scatter_shares(size).T
    apart = np.where(np.isfinite(apart).sum(axis=1, keepdims=True) < LEAST_PEOPLE, np.nan, apart)
    gaps = _fitted(by_size, apart)
    rest = apart - product(gaps, by_size.T)
    variance = _fitted(between, rest**2)
    at_size = product(np.sqrt(np.maximum(variance, LEAST_VARIANCE)), between.T)
    scatter = _fitted(by_size, at_size)
    deviations = np.nan_to_num(rest / product(scatter, by_size.T))
    directions = []
    for share in body_shares(size):
        here = share > 0.0
        counted = deviations[:, here] * share[here]
        correlation = product(counted, deviations[:, here].T) / share.sum()
        directions.append(in_common(correlation, shares))
    return UsualTerms(gaps, scatter, np.stack(directions))


def _fitted(design: Array, values: Array) -> Array:
    """Least squares of every row of ``values`` (E, N) on ``design`` (N, K), shape (E, K).

    Where a row has values for some people only, on those; where for nobody it is zero.
    """
    inverse = np.linalg.inv(product(design.T, design))
    found = product(product(np.nan_to_num(values), design), inverse)
    for row in np.flatnonzero(np.isnan(values).any(axis=1)):
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
