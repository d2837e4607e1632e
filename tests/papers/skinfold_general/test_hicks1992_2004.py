"""Hicks V. Doctoral thesis, Univ. New Mexico 1992 (American Indian women).
Hicks V, Reano L. AAHPERD abstract 2004 (American Indian men).

Men: coefficients, r and the error in density were seen in the abstract; the density criterion was
also held against four compartments. Women: nothing was seen in print, the equation is known through
a later tabulation (Heyward & Stolarczyk 1996). Women's suprailiac fold at the anterior axillary
line.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def female_1992(
    triceps_mm: np.ndarray,
    midaxillary_mm: np.ndarray,
    suprailiac_anterior_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    total = triceps_mm + midaxillary_mm + suprailiac_anterior_mm
    return 1.06198316 - 0.00038496 * total - 0.00020362 * age_years


def male_2004(waist_narrowest_cm: np.ndarray, subscapular_mm: np.ndarray) -> np.ndarray:
    return 1.138117 - 0.000887057 * waist_narrowest_cm - 0.000415103 * subscapular_mm


TYPED = {
    "hicks1992_female_american_indian": Typed(
        female_1992,
        predicts="density",
        reference_method="density",
        sex="female",
        se=None,
        ages=(18, 60),
        n=150,
    ),
    "hicks2004_male_american_indian": Typed(
        male_2004,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.0089,
        see_unit="density",
        ages=(18, 62),
        n=97,
    ),
}
test_second_typing = double_entry(TYPED)
