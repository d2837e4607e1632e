"""Oliver JM, Lambert BS, Martin SE, Green JS, Crouse SF. J Athl Train 2012;47(3):257-263.

The coefficients and R2 (.91, .93, .94) of all three models were seen in print; no error was.
157 college football players, criterion DXA. Suprailiac fold at the anterior axillary line.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def sum_of_7(
    chest_mm: np.ndarray,
    midaxillary_mm: np.ndarray,
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    suprailiac_anterior_mm: np.ndarray,
    thigh_mm: np.ndarray,
) -> np.ndarray:
    trunk = chest_mm + midaxillary_mm + subscapular_mm + abdominal_mm + suprailiac_anterior_mm
    return 0.132 * (trunk + triceps_mm + thigh_mm) + 3.53


def abdomen_and_girths(
    abdominal_mm: np.ndarray, hip_cm: np.ndarray, abdomen_navel_cm: np.ndarray
) -> np.ndarray:
    return 0.193 * hip_cm + 0.133 * abdomen_navel_cm + 0.371 * abdominal_mm - 23.0523


def sum_of_7_and_girths(
    chest_mm: np.ndarray,
    midaxillary_mm: np.ndarray,
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    suprailiac_anterior_mm: np.ndarray,
    thigh_mm: np.ndarray,
    hip_cm: np.ndarray,
    abdomen_navel_cm: np.ndarray,
) -> np.ndarray:
    trunk = chest_mm + midaxillary_mm + subscapular_mm + abdominal_mm + suprailiac_anterior_mm
    total = trunk + triceps_mm + thigh_mm
    return 0.178 * hip_cm + 0.097 * abdomen_navel_cm + 0.089 * total - 19.641


TYPED = {
    "oliver2012_male_7site": Typed(
        sum_of_7,
        predicts="fat_percent",
        reference_method="dxa",
        sex="male",
        se=None,
        ages=(18, 23),
        n=157,
    ),
    "oliver2012_male_abd_girths": Typed(
        abdomen_and_girths,
        predicts="fat_percent",
        reference_method="dxa",
        sex="male",
        se=None,
        ages=(18, 23),
        n=157,
    ),
    "oliver2012_male_7site_girths": Typed(
        sum_of_7_and_girths,
        predicts="fat_percent",
        reference_method="dxa",
        sex="male",
        se=None,
        ages=(18, 23),
        n=157,
    ),
}
test_second_typing = double_entry(TYPED)
