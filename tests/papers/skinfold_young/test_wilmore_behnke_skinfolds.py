"""Wilmore JH, Behnke AR. J Appl Physiol 1969;27(1):25-31 (men).
Wilmore JH, Behnke AR. Am J Clin Nutr 1970;23(3):267-274 (women).

Skinfold forms only. No coefficient was seen in print; samples were students of 22 and 21.4 years on
average. Criterion: underwater weighing.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def female_1970(
    subscapular_mm: np.ndarray, triceps_mm: np.ndarray, thigh_mm: np.ndarray
) -> np.ndarray:
    return 1.06234 - 0.00068 * subscapular_mm - 0.00039 * triceps_mm - 0.00025 * thigh_mm


TYPED = {
    "wilmore_behnke1969_male": Typed(
        lambda abdominal_mm, thigh_mm: 1.08543 - 0.000886 * abdominal_mm - 0.0004 * thigh_mm,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.0076,
        see_unit="density",
        ages=(16, 36),
        n=133,
    ),
    "wilmore_behnke1970_female": Typed(
        female_1970,
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.0071,
        see_unit="density",
        ages=(18, 48),
        n=128,
    ),
}
test_second_typing = double_entry(TYPED)
