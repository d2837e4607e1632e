"""Evans EM, Rowe DA, Misic MM and others. Med Sci Sports Exerc 2005;37(11):2006-2011.

Coefficients, cross-validation r and total errors (3.76 and 3.66 % fat) were seen. One equation for
both sexes: the sex term is 1 for men and 0 for women, so it appears in the forms for men only.
132 college athletes of both sexes, four compartments. Suprailiac fold at the anterior axillary
line.
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
    is_black: np.ndarray,
) -> np.ndarray:
    trunk = chest_mm + midaxillary_mm + subscapular_mm + abdominal_mm + suprailiac_anterior_mm
    total = trunk + triceps_mm + thigh_mm
    return 10.566 + 0.12077 * total - 8.057 - 2.545 * is_black


def female_7site(
    chest_mm: np.ndarray,
    midaxillary_mm: np.ndarray,
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    suprailiac_anterior_mm: np.ndarray,
    thigh_mm: np.ndarray,
    is_black: np.ndarray,
) -> np.ndarray:
    trunk = chest_mm + midaxillary_mm + subscapular_mm + abdominal_mm + suprailiac_anterior_mm
    total = trunk + triceps_mm + thigh_mm
    return 10.566 + 0.12077 * total - 2.545 * is_black


def male_3site(
    abdominal_mm: np.ndarray, thigh_mm: np.ndarray, triceps_mm: np.ndarray, is_black: np.ndarray
) -> np.ndarray:
    total = abdominal_mm + thigh_mm + triceps_mm
    return 8.997 + 0.24658 * total - 6.343 - 1.998 * is_black


def female_3site(
    abdominal_mm: np.ndarray, thigh_mm: np.ndarray, triceps_mm: np.ndarray, is_black: np.ndarray
) -> np.ndarray:
    total = abdominal_mm + thigh_mm + triceps_mm
    return 8.997 + 0.24658 * total - 1.998 * is_black


TYPED = {
    "evans2005_male_7site": Typed(
        male_7site,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.76,
        see_unit="fat_percent",
        ages=(18, 26),
        n=132,
    ),
    "evans2005_male_3site": Typed(
        male_3site,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.66,
        see_unit="fat_percent",
        ages=(18, 26),
        n=132,
    ),
    "evans2005_female_7site": Typed(
        female_7site,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=3.76,
        see_unit="fat_percent",
        ages=(18, 26),
        n=132,
    ),
    "evans2005_female_3site": Typed(
        female_3site,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=3.66,
        see_unit="fat_percent",
        ages=(18, 26),
        n=132,
    ),
}
test_second_typing = double_entry(TYPED)
