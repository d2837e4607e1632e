"""Guedes DP. Kinesis 1985;1:183-212 (Brazilian students).

The paper was not seen; a Portuguese textbook of biometry quotes both equations with their errors
(0.0057 in men, 0.0053 in women), and a later abstract on 304 Brazilian men reports that the form for
men holds there. Criterion: underwater weighing. Suprailiac fold in the midaxillary line.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male(
    triceps_mm: np.ndarray, suprailiac_midaxillary_mm: np.ndarray, abdominal_mm: np.ndarray
) -> np.ndarray:
    return 1.17136 - 0.06706 * np.log10(triceps_mm + suprailiac_midaxillary_mm + abdominal_mm)


def female(
    thigh_mm: np.ndarray, suprailiac_midaxillary_mm: np.ndarray, subscapular_mm: np.ndarray
) -> np.ndarray:
    return 1.1665 - 0.07063 * np.log10(thigh_mm + suprailiac_midaxillary_mm + subscapular_mm)


TYPED = {
    "guedes1985_male": Typed(
        male,
        predicts="density",
        scale="density",
        sex="male",
        se=0.0057,
        se_unit="density",
        ages=(18, 30),
        n=110,
    ),
    "guedes1985_female": Typed(
        female,
        predicts="density",
        scale="density",
        sex="female",
        se=0.0053,
        se_unit="density",
        ages=(18, 30),
        n=96,
    ),
}
test_second_typing = double_entry(TYPED)
