"""Garcia AL, Wagner K, Hothorn T, Koebnick C, Zunft HJF, Trippo U. Obes Res 2005;13(3):626-634.

Both final equations were seen in the abstract. It leaves the base of the logarithm open; base 10 is
deduced, since natural logarithms give impossible fat masses. Criterion: DXA. No error was seen.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    waist_midpoint_cm: np.ndarray,
) -> np.ndarray:
    logs = np.log10(triceps_mm) + np.log10(subscapular_mm) + np.log10(abdominal_mm)
    return -40.75 + 0.397 * waist_midpoint_cm + 6.568 * logs


def female(
    chin_mm: np.ndarray,
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    hip_cm: np.ndarray,
    knee_breadth_cm: np.ndarray,
) -> np.ndarray:
    logs = np.log10(chin_mm) + np.log10(triceps_mm) + np.log10(subscapular_mm)
    return -75.231 + 0.512 * hip_cm + 8.889 * logs + 1.905 * knee_breadth_cm


TYPED = {
    "garcia2005_male": Typed(
        male,
        predicts="fat_mass",
        reference_method="dxa",
        sex="male",
        se=None,
        ages=(26, 67),
        n=46,
    ),
    "garcia2005_female": Typed(
        female,
        predicts="fat_mass",
        reference_method="dxa",
        sex="female",
        se=None,
        ages=(26, 67),
        n=71,
    ),
}
test_second_typing = double_entry(TYPED)
