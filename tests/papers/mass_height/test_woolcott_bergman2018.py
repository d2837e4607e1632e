"""Second typing of the height-to-waist forms for adults (2018) and for youth (2019).

Woolcott OO, Bergman RN. Relative fat mass (RFM) as a new estimator of whole-body fat percentage: a
cross-sectional study in American adult individuals. Sci Rep 2018;8:10980. The same authors:
Relative Fat Mass as an estimator of whole-body fat percentage among children and adolescents. Sci
Rep 2019;9:15279.

Seen: both papers' formulas. They code women as one; the terms are typed with one minus the
indicator of men. No standard error was found in print for either.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def adults(height_cm: np.ndarray, waist_iliac_cm: np.ndarray, is_male: np.ndarray) -> np.ndarray:
    """Give percent fat of adults."""
    return 64 - 20 * height_cm / waist_iliac_cm + 12 * (1 - is_male)


def youth(height_cm: np.ndarray, waist_iliac_cm: np.ndarray, is_male: np.ndarray) -> np.ndarray:
    """Give percent fat of children from 8 to 14 years."""
    return 74 - 22 * height_cm / waist_iliac_cm + 5 * (1 - is_male)


TYPED = {
    "woolcott_bergman2018_both_waist_height": Typed(
        adults,
        predicts="fat_percent",
        reference_method="dxa",
        sex="both",
        se=None,
        ages=(20, 99),
        n=12581,
    ),
    "woolcott_bergman2019_youth_waist_height": Typed(
        youth,
        predicts="fat_percent",
        reference_method="dxa",
        sex="both",
        se=None,
        ages=(8, 14),
        n=10390,
    ),
}
test_second_typing = double_entry(TYPED)
