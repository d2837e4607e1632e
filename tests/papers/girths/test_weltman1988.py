"""Second typing of the two girth forms for people with obesity.

Weltman A, Seip RL, Tran ZV. Practical assessment of body composition in adult obese males. Hum
Biol 1987;59:523-535. Weltman A, Levine S, Seip RL, Tran ZV. Accurate assessment of body
composition in obese females. Am J Clin Nutr 1988;48:1179-1183.

Seen: nothing of either paper. The abdomen is the mean of the narrowest waist and the navel girth.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def men(
    waist_narrowest_cm: np.ndarray, abdomen_navel_cm: np.ndarray, weight_kg: np.ndarray
) -> np.ndarray:
    """Give percent fat of men."""
    abdomen = (waist_narrowest_cm + abdomen_navel_cm) / 2
    return 0.31457 * abdomen - 0.10969 * weight_kg + 10.8336


def women(
    waist_narrowest_cm: np.ndarray,
    abdomen_navel_cm: np.ndarray,
    height_cm: np.ndarray,
    weight_kg: np.ndarray,
) -> np.ndarray:
    """Give percent fat of women."""
    abdomen = (waist_narrowest_cm + abdomen_navel_cm) / 2
    return 0.11077 * abdomen - 0.17666 * height_cm + 0.14354 * weight_kg + 51.03301


TYPED = {
    "weltman1987_male_obese": Typed(
        men,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=4.0,
        ages=(24, 68),
        n=56,
    ),
    "weltman1988_female_obese": Typed(
        women,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=3.0,
        ages=(20, 60),
        n=118,
    ),
}
test_second_typing = double_entry(TYPED)
