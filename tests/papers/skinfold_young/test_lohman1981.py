"""Lohman TG. Hum Biol 1981;53(2):181-225 (review; young men and wrestlers).

Intercept and linear term were seen in another study's abstract. That abstract prints the quadratic
term ten times larger, which would never let fat exceed 9.6 %, although published means with this
equation are higher; so 0.00000084 is taken. No error was seen.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male(
    triceps_mm: np.ndarray, subscapular_mm: np.ndarray, abdominal_mm: np.ndarray
) -> np.ndarray:
    total = triceps_mm + subscapular_mm + abdominal_mm
    return 1.0982 - 0.000815 * total + 0.00000084 * total**2


TYPED = {
    "lohman1981_male": Typed(
        male,
        predicts="density",
        reference_method="density",
        sex="male",
        se=None,
        ages=(18, 35),
        n=61,
    ),
}
test_second_typing = double_entry(TYPED)
