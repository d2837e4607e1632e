"""Usual gaps: how far each equation stands apart in usual bodies, which is no disagreement.

Published equations differ in people who were measured without a fault: the seven-fold sums of one
handbook read four points below the waist in most women. A verdict that methods disagree
should rest on this body or these readings. So for the verdict, and for the widening that goes with it,
each equation is compared with what it usually gives beside the levelled equations, by body size. The
estimate itself is not moved: their difference does not show which of two equations is right.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from foldspan.catalogue import SIRI
from foldspan.catalogue.card import FAMILIES, Array, Bmi, Equation, Scale
from foldspan.estimation.error_correlation import cached
from foldspan.estimation.error_model import SCALE_OFFSET, scale_moves
from foldspan.estimation.evaluate import fat_percents
from foldspan.estimation.known_offsets import Levelling
from foldspan.estimation.settings import Settings
from foldspan.numerics.ordered_sums import least_squares
from foldspan.quantities import Sex
from foldspan.reference.population import reference_people

# Reference people who are compared: adults, without the outermost bodies [years, kg/m²].
AGES, SIZES = (18.0, 85.0), (17.0, 45.0)
# Sizes between which a gap goes with size, and where its terms are centred [kg/m²].
SPAN, MIDDLE_SIZE = (18.5, 40.0), 26.0
# Fewer people with a value tell nothing.
LEAST_PEOPLE = 50
# Body mass index [kg/m²] at which the spread of families in usual bodies is given; between them it runs
# in straight lines.
SPREAD_SIZES = (20.0, 25.0, 30.0, 36.0)
# Cells of that span for what is certain of a gap before it is worked out.
CELLS = 43
# Spread of the families in usual bodies beside what the covariance of their errors lets expect, as
# variance: with it 1 in 10 is called strained at each size, over the usual sets of sites
# (tests/learning/learn_usual_spread.py; docs/method.md has the sets apart).
# learnt: SPREAD
SPREAD: Mapping[str, Mapping[Sex, tuple[float, ...]]] = {
    "density": {"female": (0.43, 0.43, 0.56, 0.44), "male": (0.54, 0.61, 0.79, 0.66)},
    "dxa": {"female": (0.91, 0.57, 0.61, 0.73), "male": (0.65, 0.72, 0.75, 0.90)},
}
# end of what was learnt
# What it is times where all four families are there.
# learnt: SPREAD_OF_ALL
SPREAD_OF_ALL: Mapping[str, Mapping[Sex, float]] = {
    "density": {"female": 1.12, "male": 1.07},
    "dxa": {"female": 1.16, "male": 1.17},
}
# end of what was learnt


class UsualGaps:
    """Sums the usual gaps of the equations in use for N people, by family."""

    def __init__(
        self, cards: Sequence[Equation], columns: Mapping[str, Array], sex: Sex, settings: Settings
    ) -> None:
        mode = "as printed" if settings.as_printed else "levelled"
        self._terms = cached(usual_terms, cards, sex, settings.scale, mode)
        self._size = size_of(columns)
        self._sex, self._scale = sex, settings.scale

    def of(self, row: int) -> Array | None:
        """Return the usual gap of one card by its row [points], (N,); None where it has none."""
        level, slope, bend = self._terms[row]
        if not (level or slope or bend):
            return None
        return np.asarray(level + self._size * (slope + self._size * bend))

    def between(self, rows: Sequence[int]) -> tuple[Array, Array]:
        """Return two gaps between which those of some cards lie at each size [points], (N,) each.

        By cells of size, so that many cards cost no more than one: inside a cell of width w a parabola
        leaves the values at its ends by ``bend w² / 4`` at most.
        """
        level, slope, bend = self._terms[list(rows)].T[:, :, None]
        edges = np.linspace(SPAN[0], SPAN[1], CELLS + 1) - MIDDLE_SIZE
        width = edges[1] - edges[0]
        ends = level + edges * (slope + edges * bend)
        room = np.abs(bend) * width**2 / 4.0
        lowest = np.min(np.minimum(ends[:, :-1], ends[:, 1:]) - room, axis=0)
        highest = np.max(np.maximum(ends[:, :-1], ends[:, 1:]) + room, axis=0)
        cell = ((self._size - edges[0]) / width).astype(np.intp).clip(0, CELLS - 1)
        return lowest[cell], highest[cell]

    def spread(self, dof: Array) -> Array:
        """Return ``usual_spread`` of the people at these degrees of freedom, (N,)."""
        return usual_spread(MIDDLE_SIZE + self._size, dof, self._sex, self._scale)


def usual_spread(bmi: Array, dof: Array, sex: Sex, scale: str) -> Array:
    """Return how the families of usual bodies spread beside their covariance, (N,).

    A ratio of variances, by body mass index [kg/m²] and degrees of freedom (families less one).
    """
    times = np.where(dof == len(FAMILIES) - 1, SPREAD_OF_ALL[scale][sex], 1.0)
    return np.asarray(np.interp(bmi, SPREAD_SIZES, SPREAD[scale][sex]) * times)


def size_of(columns: Mapping[str, Array]) -> Array:
    """Body mass index around the middle size [kg/m²]; 0 where it is unknown."""
    with np.errstate(invalid="ignore", divide="ignore"):
        bmi = Bmi().of(columns)
    return np.asarray(np.nan_to_num(bmi.clip(*SPAN) - MIDDLE_SIZE))


def usual_bodies(sex: Sex) -> dict[str, Array]:
    """Return the columns of the reference people who are compared."""
    people = reference_people(sex)
    bmi = Bmi().of(people)
    adults = (people["age_years"] >= AGES[0]) & (people["age_years"] < AGES[1])
    adults &= (bmi > SIZES[0]) & (bmi < SIZES[1])
    return {name: column[adults] for name, column in people.items()}


def usual_terms(cards: Sequence[Equation], sex: Sex, scale: Scale, mode: str) -> Array:
    """Return level, slope and bend of each card's usual gap with size, shape (E, 3).

    Read off the reference people against the mean of all levelled equations, as DXA reads; a levelled
    card has none. ``mode`` is ``levelled`` or ``as printed``.
    """
    columns = usual_bodies(sex)
    percent, _ = fat_percents(cards, columns, SIRI)
    level = Levelling(columns, sex, "dxa")
    on_dxa = percent + scale_moves(cards, "dxa")[:, None]
    known = [row for row, card in enumerate(cards) if level.applies_to(card)]
    if not known:
        return np.zeros((len(cards), 3))
    middle = np.nanmean([on_dxa[row] - level.offset(cards[row]) for row in known], axis=0)
    on_scale = percent + scale_moves(cards, scale)[:, None]
    gaps = on_scale - (middle if scale == "dxa" else middle - SCALE_OFFSET)
    size = size_of(columns)
    design = np.column_stack([np.ones_like(size), size, size**2])
    terms = np.zeros((len(cards), 3))
    for row, gap in enumerate(gaps):
        has = np.isfinite(gap)
        is_levelled = scale == "dxa" and mode == "levelled" and row in known
        if has.sum() >= LEAST_PEOPLE and not is_levelled:
            terms[row] = least_squares(design[has], gap[has])
    return terms
