"""Second typing of the waist and the body-mass-index forms of 1996.

Lean MEJ, Han TS, Deurenberg P. Predicting body composition by densitometry from simple
anthropometric measurements. Am J Clin Nutr 1996;63:4-14.

Seen: the waist forms in a textbook chapter by two of the authors; the body-mass-index forms were
not seen in print. The forms with skinfolds are typed elsewhere.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def men_bmi(weight_kg: np.ndarray, height_cm: np.ndarray, age_years: np.ndarray) -> np.ndarray:
    """Give percent fat of men from body mass index and age."""
    return 1.33 * weight_kg / (height_cm / 100) ** 2 + 0.236 * age_years - 20.2


def women_bmi(weight_kg: np.ndarray, height_cm: np.ndarray, age_years: np.ndarray) -> np.ndarray:
    """Give percent fat of women from body mass index and age."""
    return 1.21 * weight_kg / (height_cm / 100) ** 2 + 0.262 * age_years - 6.7


TYPED = {
    "lean1996_male_waist": Typed(
        lambda waist_midpoint_cm, age_years: 0.567 * waist_midpoint_cm + 0.101 * age_years - 31.8,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=4.1,
        ages=(18, 83),
        n=63,
    ),
    "lean1996_female_waist": Typed(
        lambda waist_midpoint_cm, age_years: 0.439 * waist_midpoint_cm + 0.221 * age_years - 9.4,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=5.1,
        ages=(18, 83),
        n=84,
    ),
    "lean1996_male_bmi": Typed(
        men_bmi,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=None,
        ages=(18, 83),
        n=63,
    ),
    "lean1996_female_bmi": Typed(
        women_bmi,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=None,
        ages=(18, 83),
        n=84,
    ),
}
test_second_typing = double_entry(TYPED)
