"""Yuhasz MS. Doctoral thesis, Univ. Illinois 1962; fitness manual, Univ. Western Ontario 1974.

Men: coefficients and sites were seen in print (the constant is also quoted as 3.641). Women:
nothing was seen. Neither sample size nor error is known. The suprailiac fold of this lineage is
read as the supraspinale one, which is uncertain. Criterion: underwater weighing.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male(
    chest_mm: np.ndarray,
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    supraspinale_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    thigh_mm: np.ndarray,
) -> np.ndarray:
    upper = chest_mm + triceps_mm + subscapular_mm
    return 3.64 + 0.097 * (upper + supraspinale_mm + abdominal_mm + thigh_mm)


def female(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    supraspinale_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    thigh_mm: np.ndarray,
    calf_mm: np.ndarray,
) -> np.ndarray:
    upper = triceps_mm + subscapular_mm + supraspinale_mm
    return 4.56 + 0.143 * (upper + abdominal_mm + thigh_mm + calf_mm)


TYPED = {
    "yuhasz1974_male": Typed(
        male,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=None,
        ages=(18, 30),
        n=None,
    ),
    "yuhasz1974_female": Typed(
        female,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=None,
        ages=(18, 30),
        n=None,
    ),
}
test_second_typing = double_entry(TYPED)
