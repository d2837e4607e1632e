"""Reilly T, George K, Marfell-Jones M and others. Int J Sports Med 2009;30(8):607-613.

Sites, n, R2, the constant and the thigh coefficient were seen in print; the other three
coefficients were not, and no error was. 45 professional soccer players, criterion DXA.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male_soccer(
    thigh_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    triceps_mm: np.ndarray,
    calf_mm: np.ndarray,
) -> np.ndarray:
    legs = 0.124 * thigh_mm + 0.13 * calf_mm
    return 5.174 + legs + 0.147 * abdominal_mm + 0.196 * triceps_mm


TYPED = {
    "reilly2009_male_soccer": Typed(
        male_soccer,
        predicts="fat_percent",
        reference_method="dxa",
        sex="male",
        se=None,
        ages=(18, 35),
        n=45,
    ),
}
test_second_typing = double_entry(TYPED)
