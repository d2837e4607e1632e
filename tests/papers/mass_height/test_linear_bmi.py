"""Second typing of two straight-line body-mass-index forms of unconfirmed origin.

The first is usually credited to Jackson and others (2002), the second to Jackson and Pollock
(1984) or Jackson, Pollock and Ward (1980).

Seen: nothing in print; sample, criterion and error are not known.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def slope_139(
    weight_kg: np.ndarray, height_cm: np.ndarray, age_years: np.ndarray, is_male: np.ndarray
) -> np.ndarray:
    """Give percent fat from the line with slope 1.39."""
    bmi = weight_kg / (height_cm / 100) ** 2
    return 1.39 * bmi + 0.16 * age_years - 10.34 * is_male - 9.0


def slope_161(
    weight_kg: np.ndarray, height_cm: np.ndarray, age_years: np.ndarray, is_male: np.ndarray
) -> np.ndarray:
    """Give percent fat from the line with slope 1.61."""
    bmi = weight_kg / (height_cm / 100) ** 2
    return 1.61 * bmi + 0.13 * age_years - 12.1 * is_male - 13.9


TYPED = {
    "linear139_both_bmi": Typed(
        slope_139,
        predicts="fat_percent",
        reference_method="density",
        sex="both",
        se=None,
        ages=(18, 99),
    ),
    "linear161_both_bmi": Typed(
        slope_161,
        predicts="fat_percent",
        reference_method="density",
        sex="both",
        se=None,
        ages=(18, 99),
    ),
}
test_second_typing = double_entry(TYPED)
