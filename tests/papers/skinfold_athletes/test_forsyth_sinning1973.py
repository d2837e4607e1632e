"""Forsyth HL, Sinning WE. Med Sci Sports 1973;5(3):174-180 (male college athletes).

All four sets of coefficients were seen in a later peer-reviewed table. It omits the unit of height;
decimetres are the only one giving possible densities. The positive midaxillary term is in the
source. Errors are known for the two forms without height only. Criterion: underwater weighing.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def four_sites(
    subscapular_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    triceps_mm: np.ndarray,
    midaxillary_mm: np.ndarray,
) -> np.ndarray:
    trunk = 0.00162 * subscapular_mm + 0.00144 * abdominal_mm
    return 1.10647 - trunk - 0.00077 * triceps_mm + 0.00071 * midaxillary_mm


def two_sites_height(
    subscapular_mm: np.ndarray, abdominal_mm: np.ndarray, height_cm: np.ndarray
) -> np.ndarray:
    height_dm = height_cm / 10
    return 1.02415 - 0.00169 * subscapular_mm + 0.00444 * height_dm - 0.0013 * abdominal_mm


def four_sites_height(
    subscapular_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    triceps_mm: np.ndarray,
    midaxillary_mm: np.ndarray,
    height_cm: np.ndarray,
) -> np.ndarray:
    height_dm = height_cm / 10
    trunk = 0.00164 * subscapular_mm + 0.00144 * abdominal_mm
    arm_and_side = 0.00062 * midaxillary_mm - 0.00069 * triceps_mm
    return 1.03316 + 0.0041 * height_dm - trunk + arm_and_side


TYPED = {
    "forsyth_sinning1973_male_2site": Typed(
        lambda subscapular_mm, abdominal_mm: (
            1.103 - 0.00168 * subscapular_mm - 0.00127 * abdominal_mm
        ),
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.006,
        see_unit="density",
        ages=(19, 22),
        n=50,
    ),
    "forsyth_sinning1973_male_4site": Typed(
        four_sites,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.006,
        see_unit="density",
        ages=(19, 22),
        n=50,
    ),
    "forsyth_sinning1973_male_2site_ht": Typed(
        two_sites_height,
        predicts="density",
        reference_method="density",
        sex="male",
        se=None,
        ages=(19, 22),
        n=50,
    ),
    "forsyth_sinning1973_male_4site_ht": Typed(
        four_sites_height,
        predicts="density",
        reference_method="density",
        sex="male",
        se=None,
        ages=(19, 22),
        n=50,
    ),
}
test_second_typing = double_entry(TYPED)
