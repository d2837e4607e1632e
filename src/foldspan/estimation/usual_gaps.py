"""Usual gaps: how far each equation stands apart in usual bodies, which is no disagreement.

Published equations differ in people who were measured without a fault: the seven-fold sums of one
handbook read four points below the waist in most women. A verdict that methods disagree
should rest on this body or these readings. So for the verdict, and for the widening that goes with it,
each equation is compared with what it usually gives beside the levelled equations, by body size. The
estimate itself is not moved: their difference does not show which of two equations is right.

Around these gaps usual bodies scatter, because no two are built alike: mostly by less than the errors of
the methods would let expect, and by how much depends on what was measured. For the verdict alone the
misfit is held against that scatter (``families/combine.py``). Gaps and scatter are read off the
reference people (``usual_terms.py``), so an equation added tomorrow has both.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array, Equation
from foldspan.estimation.cached import cached
from foldspan.estimation.error_model import Loads, families_of
from foldspan.estimation.families.batched_matrices import Symmetric, places
from foldspan.estimation.families.covariance import Weighted, weighted_outer
from foldspan.estimation.settings import Settings
from foldspan.estimation.usual_terms import (
    MIDDLE_SIZE,
    OTHER_WAISTS,
    SPAN,
    STAND_INS,
    reads,
    scatter_shares,
    size_of,
    usual_gaps,
    usual_terms,
)
from foldspan.protocol.waist_sites import bridges_to
from foldspan.quantities import Sex
from foldspan.reference.population import WAIST_SPREAD

# Cells of that span for what is certain of a gap before it is worked out.
CELLS = 43


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
        asked = (cards, sex, settings.reference_method, mode)
        if with_scatter:
            self._gaps, self._directions = cached(usual_terms, *asked)
        else:
            self._gaps = cached(usual_gaps, *asked)
        self._columns = columns
        self._size = size_of(columns)
        self._cell: Array | None = None
        self.families = np.zeros((len(FAMILIES), self._size.size))
        self._cards = cards
        self._for_whom = {
            way: who
            for way, levels in enumerate(STAND_INS, 1)
            if (who := stands_in(columns, sex, *levels)) is not None
        }
        # one row a card and way: see ``UsualTerms``
        rows = families_of(cards) * (1 + len(STAND_INS) if self._for_whom else 1)
        self._weighted = Weighted(rows, 1, self._size.size) if with_scatter else None

    def add(self, row: int, family: int, weights: Array) -> None:
        """Add one card by its row, with its weights in its family, (N,)."""
        as_measured = weights
        for way, who in self._for_whom.items():
            if reads(self._cards[row], STAND_INS[way - 1][0]):
                self._add(way, row, family, weights * who)
                as_measured = np.where(who, 0.0, as_measured)
        self._add(0, row, family, as_measured)

    def _add(self, way: int, row: int, family: int, weights: Array) -> None:
        in_terms = self._row(way, row)
        gap = self._at_size(self._gaps[in_terms])
        gap *= weights
        self.families[family] += gap
        if self._weighted is not None:
            self._weighted.add(in_terms, weights, (1.0,))

    def _row(self, way: int, row: int) -> int:
        """Row of the terms for one card in one way."""
        return way * len(self._cards) + row

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
        several = [self._row(way, row) for way in range(len(STAND_INS) + 1) for row in rows]
        level, slope, bend = self._gaps[several].T[:, :, None]
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

    def scatter(self, per_total: Array, loads: Loads) -> Symmetric | None:
        """Return how the families of usual bodies scatter around their gaps, in points².

        ``loads`` are those of ``measurement_error.reading_loads``. A level of the waist lies around the
        others by ``WAIST_SPREAD`` of it; that is added where it was read.
        """
        if self._weighted is None:
            return None
        found = weighted_outer(self._weighted, self._directions, scatter_shares(self._size))
        for j, k in places(len(FAMILIES)):
            found.elements[j, k] *= per_total[j] * per_total[k]
        for name in OTHER_WAISTS:
            if name in loads:
                spread = WAIST_SPREAD * np.nan_to_num(self._columns[name])
                found.add_outer(loads[name], spread**2)
        return found


def stands_in(columns: Mapping[str, Array], sex: Sex, wanted: str, measured: str) -> Array | None:
    """For whom one level of the waist stands in for another, (N,); None for nobody."""
    who = np.isnan(columns[wanted]) & ~np.isnan(columns[measured])
    for row in bridges_to(wanted, sex):  # the tightest step first
        if row.measured == measured:
            break
        who &= np.isnan(columns[row.measured])
    return who if who.any() else None
