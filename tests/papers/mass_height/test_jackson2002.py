"""Second typing of the quadratic body-mass-index forms of 2002.

Jackson AS, Stanforth PR, Gagnon J, and others. The effect of sex, age and race on estimating
percentage body fat from body mass index: the Heritage Family Study. Int J Obes 2002;26:789-796.

Seen: the abstract, which confirms the quadratic shape and the gap between the sexes; not the
coefficients.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def men(weight_kg: np.ndarray, height_cm: np.ndarray) -> np.ndarray:
    """Give percent fat of men."""
    bmi = weight_kg / (height_cm / 100) ** 2
    return 3.76 * bmi - 0.04 * bmi**2 - 47.8


def women(weight_kg: np.ndarray, height_cm: np.ndarray) -> np.ndarray:
    """Give percent fat of women."""
    bmi = weight_kg / (height_cm / 100) ** 2
    return 4.35 * bmi - 0.05 * bmi**2 - 46.24


TYPED = {
    "jackson2002_male_bmi": Typed(
        men,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=None,
        ages=(17, 65),
        n=665,
    ),
    "jackson2002_female_bmi": Typed(
        women,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=None,
        ages=(17, 65),
        n=665,
    ),
}
test_second_typing = double_entry(TYPED)
