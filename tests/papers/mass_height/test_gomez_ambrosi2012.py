"""Second typing of the body-mass-index polynomial of 2012.

Gomez-Ambrosi J, Silva C, Catalan V, and others. Clinical usefulness of a new equation for
estimating body fat. Diabetes Care 2012;35:383-388.

Seen: the abstract, and every coefficient in a table of Molina-Luque and others (2020). The paper
codes women as one; the terms are typed with one minus the indicator of men.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def adults(
    weight_kg: np.ndarray, height_cm: np.ndarray, age_years: np.ndarray, is_male: np.ndarray
) -> np.ndarray:
    """Give percent fat of adults."""
    bmi = weight_kg / (height_cm / 100) ** 2
    woman = 1 - is_male
    common = -44.988 + 0.503 * age_years + 3.172 * bmi - 0.026 * bmi**2
    sex = 10.689 * woman + 0.181 * bmi * woman - 0.005 * bmi**2 * woman
    ageing = -0.02 * bmi * age_years + 0.00021 * bmi**2 * age_years
    return common + sex + ageing


TYPED = {
    "gomez_ambrosi2012_both_bmi": Typed(
        adults,
        predicts="fat_percent",
        reference_method="density",
        sex="both",
        se=4.66,
        ages=(18, 80),
        n=6510,
    ),
}
test_second_typing = double_entry(TYPED)
