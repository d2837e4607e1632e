"""Second typing of Dezenberg and others 1999 (Int J Obes 23:253-259), fat mass of children.

Seen: nothing of the paper; the coefficients are not verified in print. Criterion X-ray
absorptiometry, 202 children of 4 to 11 years. Sex counts 1 for boys and 2 for girls, ancestry 1
(white) or 2 (Black).
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def boys(triceps_mm: np.ndarray, weight_kg: np.ndarray, is_black: np.ndarray) -> np.ndarray:
    """Fat mass [kg] of boys."""
    return 0.38 * weight_kg + 0.3 * triceps_mm + 0.87 * 1 + 0.81 * (1 + is_black) - 9.42


def girls(triceps_mm: np.ndarray, weight_kg: np.ndarray, is_black: np.ndarray) -> np.ndarray:
    """Fat mass [kg] of girls."""
    return 0.38 * weight_kg + 0.3 * triceps_mm + 0.87 * 2 + 0.81 * (1 + is_black) - 9.42


TYPED = {
    "dezenberg1999_male_triceps_weight": Typed(
        boys,
        predicts="fat_mass",
        reference_method="dxa",
        sex="male",
        se=None,
        ages=(4, 11),
        n=202,
    ),
    "dezenberg1999_female_triceps_weight": Typed(
        girls,
        predicts="fat_mass",
        reference_method="dxa",
        sex="female",
        se=None,
        ages=(4, 11),
        n=202,
    ),
}
test_second_typing = double_entry(TYPED)
