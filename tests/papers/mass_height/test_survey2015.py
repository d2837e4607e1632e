"""Second typing of the inverse body-mass-index form fitted to a national survey.

Conference abstract, programme of the American physical education alliance 2015, paper 20208,
authors not visible; survey years 1999 to 2006.

Seen: the abstract with every coefficient. It prints one ancestry code with two coefficients, read
here as two indicators. Not a full peer-reviewed paper.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def adults(
    weight_kg: np.ndarray,
    height_cm: np.ndarray,
    age_years: np.ndarray,
    is_male: np.ndarray,
    is_black: np.ndarray,
    is_mexican_american: np.ndarray,
) -> np.ndarray:
    """Give percent fat of adults."""
    bmi = weight_kg / (height_cm / 100) ** 2
    ancestry = -1.95 * is_black + 0.36 * is_mexican_american
    return 61.93 - 680.06 / bmi - 12.05 * is_male + 0.08 * age_years + ancestry


TYPED = {
    "survey2015_both_inverse_bmi": Typed(
        adults,
        predicts="fat_percent",
        reference_method="dxa",
        sex="both",
        se=3.5,
        ages=(20, 99),
        n=13529,
    ),
}
test_second_typing = double_entry(TYPED)
