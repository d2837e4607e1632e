"""Civar S, Aktop A, Tercan E, Ozdol Y, Ozer K. 2006 (young men in Turkey; details uncertain).

Only the first coefficient was seen in print. No error of the derivation is known; the limits of
agreement that a later study found in soccer players are not this equation's own error.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male(
    triceps_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    biceps_mm: np.ndarray,
    weight_kg: np.ndarray,
) -> np.ndarray:
    folds = 0.432 * triceps_mm + 0.193 * abdominal_mm + 0.364 * biceps_mm
    return folds + 0.077 * weight_kg - 0.891


TYPED = {
    "civar2006_male": Typed(
        male,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=None,
        ages=(18, 27),
        n=200,
    ),
}
test_second_typing = double_entry(TYPED)
