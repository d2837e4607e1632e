"""Petroski EL. Doctoral thesis, UFSM, Brazil 1995 (generalised equations for adults).

The sample of men was seen in the abstract of a companion article; no coefficient was seen in print.
Suprailiac fold in the midaxillary line. Criterion: underwater weighing.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male(
    subscapular_mm: np.ndarray,
    triceps_mm: np.ndarray,
    suprailiac_midaxillary_mm: np.ndarray,
    calf_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    total = subscapular_mm + triceps_mm + suprailiac_midaxillary_mm + calf_mm
    return 1.10726863 - 0.00081201 * total + 0.00000212 * total**2 - 0.00041761 * age_years


def female(
    midaxillary_mm: np.ndarray,
    suprailiac_midaxillary_mm: np.ndarray,
    thigh_mm: np.ndarray,
    calf_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    total = midaxillary_mm + suprailiac_midaxillary_mm + thigh_mm + calf_mm
    return 1.1954713 - 0.07513507 * np.log10(total) - 0.00041072 * age_years


TYPED = {
    "petroski1995_male": Typed(
        male,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.0075,
        see_unit="density",
        ages=(18, 66),
        n=304,
    ),
    "petroski1995_female": Typed(
        female,
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.0071,
        see_unit="density",
        ages=(18, 51),
        n=213,
    ),
}
test_second_typing = double_entry(TYPED)
