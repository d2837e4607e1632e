"""Community Health repository paper 186, Wright State University (authors and year not shown).

Coefficients, R2 and the error of 1.0 % fat were seen in the record; so small an error is not
credible for this design and is typed only because it is what stands there. Units of the inputs
(hip and wrist breadth in cm, biceps fold in mm) are assumed. Criterion: DXA.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def black_female(
    biceps_mm: np.ndarray,
    hip_cm: np.ndarray,
    wrist_breadth_cm: np.ndarray,
    weight_kg: np.ndarray,
) -> np.ndarray:
    girth_and_bone = 58.58 * np.log(hip_cm) - 23.47 * np.log(wrist_breadth_cm)
    return -214.28 + girth_and_bone + 7.24 * np.log(biceps_mm) - 0.00108 * weight_kg**2


TYPED = {
    "wright_postmenopausal_black_female": Typed(
        black_female,
        predicts="fat_percent",
        reference_method="dxa",
        sex="female",
        se=1.0,
        see_unit="fat_percent",
        ages=(45, 80),
        n=72,
    ),
}
test_second_typing = double_entry(TYPED)
