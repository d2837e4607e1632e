"""Leahy S, O'Neill C, Sohun R, Toomey C, Jakeman P. Br J Nutr 2013;109(4):678-685.

Coefficients, errors and limits of agreement were seen in the abstract, which does not name the base
of the logarithm; only base 10 gives possible values. 736 women and men served for derivation.
Criterion: DXA. The girth of the abdomen is taken to be the one at the navel.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male(
    triceps_mm: np.ndarray,
    midaxillary_mm: np.ndarray,
    supraspinale_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    folds = 7.6 * np.log10(triceps_mm) + 8.8 * np.log10(midaxillary_mm)
    return 0.1 * age_years + folds + 11.9 * np.log10(supraspinale_mm) - 11.3


def female(
    midaxillary_mm: np.ndarray,
    biceps_mm: np.ndarray,
    calf_mm: np.ndarray,
    age_years: np.ndarray,
    abdomen_navel_cm: np.ndarray,
) -> np.ndarray:
    folds = 4.9 * np.log10(midaxillary_mm) + 11.0 * np.log10(biceps_mm) + 9.1 * np.log10(calf_mm)
    return 0.1 * age_years + 39.4 * np.log10(abdomen_navel_cm) + folds - 73.5


TYPED = {
    "leahy2013_male": Typed(
        male,
        predicts="fat_percent",
        reference_method="dxa",
        sex="male",
        se=2.5,
        see_unit="fat_percent",
        ages=(18, 81),
        n=736,
    ),
    "leahy2013_female": Typed(
        female,
        predicts="fat_percent",
        reference_method="dxa",
        sex="female",
        se=3.0,
        see_unit="fat_percent",
        ages=(18, 81),
        n=736,
    ),
}
test_second_typing = double_entry(TYPED)
