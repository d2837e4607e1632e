"""Lean MEJ, Han TS, Deurenberg P. Am J Clin Nutr 1996;63(1):4-14. Forms with skinfolds.

All coefficients were seen in print (abstract for waist with triceps, a textbook chapter on obesity
for the others). The waist is measured midway between lowest rib and iliac crest, the suprailiac
fold in the midaxillary line. R2 and error were seen for the first two pairs, not for triceps alone.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male_log4(
    biceps_mm: np.ndarray,
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    suprailiac_midaxillary_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    total = biceps_mm + triceps_mm + subscapular_mm + suprailiac_midaxillary_mm
    return 30.9 * np.log10(total) + 0.271 * age_years - 39.9


def female_log4(
    biceps_mm: np.ndarray,
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    suprailiac_midaxillary_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    total = biceps_mm + triceps_mm + subscapular_mm + suprailiac_midaxillary_mm
    return 30.8 * np.log10(total) + 0.274 * age_years - 31.7


def male_waist_triceps(
    waist_midpoint_cm: np.ndarray, triceps_mm: np.ndarray, age_years: np.ndarray
) -> np.ndarray:
    return 0.353 * waist_midpoint_cm + 0.756 * triceps_mm + 0.235 * age_years - 26.4


def female_waist_triceps(
    waist_midpoint_cm: np.ndarray, triceps_mm: np.ndarray, age_years: np.ndarray
) -> np.ndarray:
    return 0.232 * waist_midpoint_cm + 0.657 * triceps_mm + 0.215 * age_years - 5.5


TYPED = {
    "lean1996_male_waist_triceps": Typed(
        male_waist_triceps,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.2,
        see_unit="fat_percent",
        ages=(17, 65),
        n=63,
    ),
    "lean1996_female_waist_triceps": Typed(
        female_waist_triceps,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=4.0,
        see_unit="fat_percent",
        ages=(18, 64),
        n=84,
    ),
    "lean1996_male_log4": Typed(
        male_log4,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.8,
        see_unit="fat_percent",
        ages=(17, 65),
        n=63,
    ),
    "lean1996_female_log4": Typed(
        female_log4,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=4.6,
        see_unit="fat_percent",
        ages=(17, 65),
        n=84,
    ),
    "lean1996_male_triceps": Typed(
        lambda triceps_mm, age_years: 1.31 * triceps_mm + 0.43 * age_years - 9.2,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=None,
        ages=(17, 65),
        n=63,
    ),
    "lean1996_female_triceps": Typed(
        lambda triceps_mm, age_years: 0.944 * triceps_mm + 0.279 * age_years + 4.6,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=None,
        ages=(17, 65),
        n=84,
    ),
}
test_second_typing = double_entry(TYPED)
