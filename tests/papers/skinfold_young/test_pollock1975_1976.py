"""Pollock ML and others. J Appl Physiol 1975;38(4):745-749 (young women), 1976;40(3):300-304 (young
men).

Of the 1975 paper n, ages and sample means were seen; no coefficient of either paper was seen in
print. Criterion: underwater weighing. Suprailiac fold at the anterior axillary line.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male_1976(chest_mm: np.ndarray, subscapular_mm: np.ndarray, thigh_mm: np.ndarray) -> np.ndarray:
    return 1.09716 - 0.00065 * chest_mm - 0.00055 * subscapular_mm - 0.0008 * thigh_mm


TYPED = {
    "pollock1975_female_young": Typed(
        lambda suprailiac_anterior_mm, thigh_mm: (
            1.0852 - 0.0008 * suprailiac_anterior_mm - 0.0011 * thigh_mm
        ),
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.0091,
        see_unit="density",
        ages=(18, 22),
        n=83,
    ),
    "pollock1976_male_young": Typed(
        male_1976,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.007,
        see_unit="density",
        ages=(18, 22),
        n=95,
    ),
}
test_second_typing = double_entry(TYPED)
