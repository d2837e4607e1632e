"""Second typing of Boileau, Lohman and Slaughter 1985 (Scand J Sports Sci 7:17-27), % fat.

Seen: the coefficients in a peer-reviewed table of equations for youth; no standard error.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def boys(triceps_mm: np.ndarray, subscapular_mm: np.ndarray) -> np.ndarray:
    """% fat of boys from triceps and subscapular."""
    total = triceps_mm + subscapular_mm
    return 1.35 * total - 0.012 * total**2 - 4.4


def girls(triceps_mm: np.ndarray, subscapular_mm: np.ndarray) -> np.ndarray:
    """% fat of girls from triceps and subscapular."""
    total = triceps_mm + subscapular_mm
    return 1.35 * total - 0.012 * total**2 - 2.4


TYPED = {
    "boileau1985_male": Typed(
        boys,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=None,
        ages=(8, 29),
        n=273,
    ),
    "boileau1985_female": Typed(
        girls,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=None,
        ages=(8, 29),
        n=273,
    ),
}
test_second_typing = double_entry(TYPED)
