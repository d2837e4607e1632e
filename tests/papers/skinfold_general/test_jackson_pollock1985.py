"""Second typing of the clinical forms: Pollock, Schmidt and Jackson 1980 and Jackson and Pollock
1985 (Compr Ther 6(9):12-27; Phys Sportsmed 13(5):76-90).

Seen: neither paper; an educational page quotes the form for chest, triceps and subscapular, both
four-fold forms and the women's three-fold form for % fat, the others are not verified in print. The
samples are the 308 men of 1978 and the 249 women of 1980. The quadratic term 0.0000055 of the
chest, triceps and subscapular form is right there, it only looks like that of the seven-fold form.
Four forms give % fat at once.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def male_chest_triceps_subscapular(
    chest_mm: np.ndarray, triceps_mm: np.ndarray, subscapular_mm: np.ndarray, age_years: np.ndarray
) -> np.ndarray:
    """Density of men from chest, triceps and subscapular."""
    total = chest_mm + triceps_mm + subscapular_mm
    return 1.1125025 - 0.0013125 * total + 0.0000055 * total**2 - 0.000244 * age_years


def female_triceps_suprailiac_abdominal(
    triceps_mm: np.ndarray,
    suprailiac_anterior_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    """Density of women from triceps, suprailiac and abdomen."""
    total = triceps_mm + suprailiac_anterior_mm + abdominal_mm
    return 1.089733 - 0.0009245 * total + 0.0000025 * total**2 - 0.0000979 * age_years


def male_four_fat(
    abdominal_mm: np.ndarray,
    triceps_mm: np.ndarray,
    thigh_mm: np.ndarray,
    suprailiac_anterior_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    """% fat of men from four folds."""
    total = abdominal_mm + triceps_mm + thigh_mm + suprailiac_anterior_mm
    return 0.29288 * total - 0.0005 * total**2 + 0.15845 * age_years - 5.76377


def female_four_fat(
    abdominal_mm: np.ndarray,
    triceps_mm: np.ndarray,
    thigh_mm: np.ndarray,
    suprailiac_anterior_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    """% fat of women from four folds."""
    total = abdominal_mm + triceps_mm + thigh_mm + suprailiac_anterior_mm
    return 0.29669 * total - 0.00043 * total**2 + 0.02963 * age_years + 1.4072


def male_three_fat(
    abdominal_mm: np.ndarray,
    triceps_mm: np.ndarray,
    suprailiac_anterior_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    """% fat of men from abdomen, triceps and suprailiac."""
    total = abdominal_mm + triceps_mm + suprailiac_anterior_mm
    return 0.39287 * total - 0.00105 * total**2 + 0.15772 * age_years - 5.18845


def female_three_fat(
    abdominal_mm: np.ndarray,
    triceps_mm: np.ndarray,
    suprailiac_anterior_mm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    """% fat of women from abdomen, triceps and suprailiac."""
    total = abdominal_mm + triceps_mm + suprailiac_anterior_mm
    return 0.41563 * total - 0.00112 * total**2 + 0.03661 * age_years + 4.03653


TYPED = {
    "pollock_schmidt_jackson1980_male_3site_cts": Typed(
        male_chest_triceps_subscapular,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.0082,
        see_unit="density",
        ages=(18, 61),
        n=308,
    ),
    "jackson_pollock1985_female_3site_tsa": Typed(
        female_triceps_suprailiac_abdominal,
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.0087,
        see_unit="density",
        ages=(18, 55),
        n=249,
    ),
    "jackson_pollock1985_male_4site_pct": Typed(
        male_four_fat,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.49,
        see_unit="fat_percent",
        ages=(18, 61),
        n=308,
    ),
    "jackson_pollock1985_female_4site_pct": Typed(
        female_four_fat,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=3.89,
        see_unit="fat_percent",
        ages=(18, 55),
        n=249,
    ),
    "jackson_pollock1985_male_3site_pct": Typed(
        male_three_fat,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.63,
        see_unit="fat_percent",
        ages=(18, 61),
        n=308,
    ),
    "jackson_pollock1985_female_3site_pct": Typed(
        female_three_fat,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=3.98,
        see_unit="fat_percent",
        ages=(18, 55),
        n=249,
    ),
}
test_second_typing = double_entry(TYPED)
