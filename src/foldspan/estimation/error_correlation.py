"""Error correlation: how the errors of two equations go together, by one rule for all of them.

``published``, ``new_people`` and ``limits`` of the error model correlate between any two equations by a
power of the correlation of the two *estimates* over the reference people. As printed it is the fourth
power: found on NHANES 1999-2002 (intercept 0.01, slope 1.01, scatter 0.11), it held on other people,
NHANES 2003-06 (rmse .08 women, .10 men) and 2011-16 (.07, .07). Once equations are levelled it is the
third power of the correlation of the levelled estimates (on 1999-2002: rmse .10 women, .07 men; the
fourth .13, .10, the second .14, .13; on 2003-2004 .09, .08), folds with all that is no fold as any two
others (0.95 and 0.97 of the rule). A whole power of a correlation matrix, element by element, stays
positive semi-definite (Schur product theorem), so an equation added tomorrow needs no typed row.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldspan.catalogue import SIRI
from foldspan.catalogue.card import Array, Equation
from foldspan.estimation.cached import cached
from foldspan.estimation.evaluate import percents
from foldspan.estimation.known_offsets import Levelling
from foldspan.numerics.ordered_sums import products_of_rows
from foldspan.quantities import Sex
from foldspan.reference.population import reference_people

AS_PRINTED, LEVELLED = "as printed", "levelled"
# Correlation of errors = correlation of estimates to this power; see the module's docstring.
ERROR_POWER = {AS_PRINTED: 4, LEVELLED: 3}


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
    return np.asarray(estimate_correlation(cards, sex, rule) ** ERROR_POWER[rule])


def estimate_correlation(cards: Sequence[Equation], sex: Sex, rule: str) -> Array:
    """Correlation of what the cards give for the reference people, shape (E, E)."""
    people = reference_people(sex)
    percent = percents(cards, people, SIRI)
    if rule == LEVELLED:
        levelling = Levelling(people, sex, "dxa")
        for card_percent, card in zip(percent, cards, strict=True):
            levelled = levelling.of(card, card_percent)
            card_percent -= 0.0 if levelled is None else levelled.offset
    centred = percent - np.nanmean(percent, axis=1, keepdims=True)
    centred = np.nan_to_num(centred)  # a person a formula has no value for counts as the mean
    norm = np.linalg.norm(centred, axis=1)
    unit = centred / np.where(norm > 0, norm, 1.0)[:, None]
    correlation = products_of_rows(unit)
    np.fill_diagonal(correlation, 1.0)
    return correlation


def error_correlation_of(cards: Sequence[Equation], sex: Sex, rule: str = AS_PRINTED) -> Array:
    """Return ``error_correlation``, cached."""
    return cached(error_correlation, cards, sex, rule)
