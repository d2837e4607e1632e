"""Ball, Altena, Swan. Eur J Clin Nutr 2004;58(11):1525-1531 (men).
Ball, Swan, DeSimone. Res Q Exerc Sport 2004;75(3):248-258 (women).

Men: coefficients, n and the PRESS error were seen in the abstract. Women: no page was found, so
nothing was seen in print. Criterion: DXA. Suprailiac fold at the anterior axillary line.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male_7site(
    chest_mm: np.ndarray,
    midaxillary_mm: np.ndarray,
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    suprailiac_anterior_mm: np.ndarray,
    thigh_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    trunk = chest_mm + midaxillary_mm + subscapular_mm + abdominal_mm + suprailiac_anterior_mm
    total = trunk + triceps_mm + thigh_mm
    return 0.465 + 0.18 * total - 0.0002406 * total**2 + 0.06619 * age_years


def female_3site(
    triceps_mm: np.ndarray,
    suprailiac_anterior_mm: np.ndarray,
    thigh_mm: np.ndarray,
    hip_cm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    total = triceps_mm + suprailiac_anterior_mm + thigh_mm
    folds = 0.41946 * total - 0.00126 * total**2
    return -6.40665 + folds + 0.12515 * hip_cm + 0.06473 * age_years


TYPED = {
    "ball2004_male_7site": Typed(
        male_7site,
        predicts="fat_percent",
        reference_method="dxa",
        sex="male",
        se=2.2,
        see_unit="fat_percent",
        ages=(18, 62),
        n=160,
    ),
    "ball2004_female_3site": Typed(
        female_3site,
        predicts="fat_percent",
        reference_method="dxa",
        sex="female",
        se=2.6,
        see_unit="fat_percent",
        ages=(18, 62),
        n=150,
    ),
}
test_second_typing = double_entry(TYPED)
