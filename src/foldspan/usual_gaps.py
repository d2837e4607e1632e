"""Usual gaps: how far each equation stands apart in usual bodies, which is no disagreement.

Published equations differ in people who were measured without a fault: the seven-fold sums of one
handbook read four points below the waist in most women. Whoever is told that methods disagree should be
told so because of this body or these readings. So before the verdict each equation is held against what
it usually reads beside the levelled equations, by body size. The range itself knows nothing of it: which
of two equations is right cannot be told from their difference.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from foldspan.catalogue import SIRI
from foldspan.catalogue.card import Array, Equation
from foldspan.errormodel import SCALE_OFFSET, remembered, scale_moves
from foldspan.evaluate import fat_percents
from foldspan.levelling import Levelling
from foldspan.ordered_sums import least_squares
from foldspan.people import Settings
from foldspan.quantities import Sex
from foldspan.reference_people import reference_people

# Reference people who are compared: adults, without the outermost bodies [years, kg/m²].
AGES, SIZES = (18.0, 85.0), (17.0, 45.0)
# Sizes between which a gap goes with size, and where its terms are centred [kg/m²].
SPAN, MIDDLE_SIZE = (18.5, 40.0), 26.0
# Fewer people with a value tell nothing.
LEAST_PEOPLE = 50
# Families of usual bodies stand this much nearer to each other than the covariance of their errors says,
# as variance: set so that 1 in 10 of the reference people is called strained, in the middle of the usual
# sets of sites (docs/method.md has them all).
NEARER = {"density": 0.7, "dxa": 0.8}


class UsualGaps:
    """Adds up the usual gaps of the equations in use for N people, by family."""

    def __init__(
        self, cards: Sequence[Equation], columns: Mapping[str, Array], sex: Sex, settings: Settings
    ) -> None:
        mode = "as printed" if settings.as_printed else "levelled"
        self._terms = remembered(usual_terms, cards, sex, settings.scale, mode)
        self._size = size_of(columns)

    def of(self, row: int) -> Array | None:
        """Return the usual gap of one card by its row [points], (N,); None where it has none."""
        level, slope, bend = self._terms[row]
        if not (level or slope or bend):
            return None
        return np.asarray(level + self._size * (slope + self._size * bend))


def size_of(columns: Mapping[str, Array]) -> Array:
    """Body mass index around the middle size [kg/m²]; 0 where it is unknown."""
    with np.errstate(invalid="ignore", divide="ignore"):
        bmi = columns["weight_kg"] / (columns["height_cm"] / 100.0) ** 2
    return np.asarray(np.nan_to_num(bmi.clip(*SPAN) - MIDDLE_SIZE))


def usual_terms(cards: Sequence[Equation], sex: Sex, scale: str, mode: str) -> Array:
    """Return level, slope and bend of each card's usual gap with size, shape (E, 3).

    Read off the reference people against the mean of all levelled equations, as DXA reads; a levelled
    card has none. ``mode`` is ``levelled`` or ``as printed``.
    """
    people = reference_people(sex)
    bmi = people["weight_kg"] / (people["height_cm"] / 100.0) ** 2
    some = (people["age_years"] >= AGES[0]) & (people["age_years"] < AGES[1])
    some &= (bmi > SIZES[0]) & (bmi < SIZES[1])
    columns = {name: one[some] for name, one in people.items()}
    percent, _ = fat_percents(cards, columns, SIRI)
    level = Levelling(columns, sex, "dxa")
    on_dxa = percent + scale_moves(cards, "dxa")[:, None]
    known = [row for row, card in enumerate(cards) if level.applies_to(card)]
    if not known:
        return np.zeros((len(cards), 3))
    middle = np.nanmean([on_dxa[row] - level.offset(cards[row]) for row in known], axis=0)
    here = percent + scale_moves(cards, "dxa" if scale == "dxa" else "density")[:, None]
    gaps = here - (middle if scale == "dxa" else middle - SCALE_OFFSET)
    size = size_of(columns)
    design = np.column_stack([np.ones_like(size), size, size**2])
    terms = np.zeros((len(cards), 3))
    for row, gap in enumerate(gaps):
        has = np.isfinite(gap)
        is_levelled = scale == "dxa" and mode == "levelled" and row in known
        if has.sum() >= LEAST_PEOPLE and not is_levelled:
            terms[row] = least_squares(design[has], gap[has])
    return terms
