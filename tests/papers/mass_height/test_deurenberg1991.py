"""Second typing of the body-mass-index forms of 1991 and 1998.

Deurenberg P, Weststrate JA, Seidell JC. Body mass index as a measure of body fatness: age- and
sex-specific prediction formulas. Br J Nutr 1991;65:105-114. Deurenberg P, Yap M, van Staveren WA.
Body mass index and percent body fat: a meta analysis among different ethnic groups. Int J Obes
1998;22:1164-1171.

Seen: the abstract and first page of 1991; the coefficients of 1998 in a table of Krachler and
others (2013).
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def adults_1991(
    weight_kg: np.ndarray, height_cm: np.ndarray, age_years: np.ndarray, is_male: np.ndarray
) -> np.ndarray:
    """Give percent fat of adults."""
    bmi = weight_kg / (height_cm / 100) ** 2
    return 1.2 * bmi + 0.23 * age_years - 10.8 * is_male - 5.4


def youth_1991(
    weight_kg: np.ndarray, height_cm: np.ndarray, age_years: np.ndarray, is_male: np.ndarray
) -> np.ndarray:
    """Give percent fat of children up to 15 years."""
    bmi = weight_kg / (height_cm / 100) ** 2
    return 1.51 * bmi - 0.7 * age_years - 3.6 * is_male + 1.4


def adults_1998(
    weight_kg: np.ndarray, height_cm: np.ndarray, age_years: np.ndarray, is_male: np.ndarray
) -> np.ndarray:
    """Give percent fat of adults after the meta-analysis of group means."""
    bmi = weight_kg / (height_cm / 100) ** 2
    return 1.294 * bmi + 0.2 * age_years - 11.4 * is_male - 8.0


TYPED = {
    "deurenberg1991_both_bmi": Typed(
        adults_1991,
        predicts="fat_percent",
        reference_method="density",
        sex="both",
        se=4.1,
        ages=(16, 83),
        n=1229,
    ),
    "deurenberg1991_youth_bmi": Typed(
        youth_1991,
        predicts="fat_percent",
        reference_method="density",
        sex="both",
        se=4.4,
        ages=(7, 15),
        n=1229,
    ),
    "deurenberg1998_both_bmi": Typed(
        adults_1998,
        predicts="fat_percent",
        reference_method="density",
        sex="both",
        se=None,
        ages=(18, 99),
    ),
}
test_second_typing = double_entry(TYPED)
