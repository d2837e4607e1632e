"""Warner ER, Fornetti WC, Jallo JJ, Pivarnik JM. J Athl Train 2004;39(3):259-262.

Nothing of it was seen in print. Fat-free mass of 101 college women athletes, criterion DXA, error
1.1 kg.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def female_ffm(abdominal_mm: np.ndarray, thigh_mm: np.ndarray, weight_kg: np.ndarray) -> np.ndarray:
    return 8.51 + 0.809 * weight_kg - 0.178 * abdominal_mm - 0.225 * thigh_mm


TYPED = {
    "warner2004_female_ffm": Typed(
        female_ffm,
        predicts="fat_free_mass",
        reference_method="dxa",
        sex="female",
        se=1.1,
        see_unit="mass",
        ages=(18, 23),
        n=101,
    ),
}
test_second_typing = double_entry(TYPED)
