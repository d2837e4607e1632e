"""Second typing of the fat mass forms with waist of 2017.

Lee DH, Keum N, Hu FB, and others. Development and validation of anthropometric prediction equations
for lean body mass, fat mass and percent fat in adults using NHANES 1999-2006. Br J Nutr
2017;118:858-866.

Seen: title and start of the abstract with the sample sizes; not the coefficients, which a refit of
a later survey comes close to.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def men(
    age_years: np.ndarray,
    height_cm: np.ndarray,
    weight_kg: np.ndarray,
    waist_iliac_cm: np.ndarray,
    is_mexican_american: np.ndarray,
    is_hispanic: np.ndarray,
    is_black: np.ndarray,
    is_other_ancestry: np.ndarray,
) -> np.ndarray:
    """Give the fat mass of men in kilograms."""
    size = -0.009 * age_years - 0.08 * height_cm + 0.226 * weight_kg + 0.387 * waist_iliac_cm
    latin = 0.08 * is_mexican_american - 0.188 * is_hispanic
    return -18.592 + size + latin - 0.483 * is_black + 1.05 * is_other_ancestry


def women(
    age_years: np.ndarray,
    height_cm: np.ndarray,
    weight_kg: np.ndarray,
    waist_iliac_cm: np.ndarray,
    is_mexican_american: np.ndarray,
    is_hispanic: np.ndarray,
    is_black: np.ndarray,
    is_other_ancestry: np.ndarray,
) -> np.ndarray:
    """Give the fat mass of women in kilograms."""
    size = 0.041 * age_years - 0.199 * height_cm + 0.61 * weight_kg + 0.044 * waist_iliac_cm
    latin = 0.388 * is_mexican_american + 0.073 * is_hispanic
    return 11.817 + size + latin - 1.187 * is_black + 0.325 * is_other_ancestry


TYPED = {
    "lee2017_male_waist": Typed(
        men,
        predicts="fat_mass",
        reference_method="dxa",
        sex="male",
        se=2.6,
        see_unit="mass",
        ages=(20, 99),
        n=7531,
    ),
    "lee2017_female_waist": Typed(
        women,
        predicts="fat_mass",
        reference_method="dxa",
        sex="female",
        se=2.4,
        see_unit="mass",
        ages=(20, 99),
        n=6534,
    ),
}
test_second_typing = double_entry(TYPED)
