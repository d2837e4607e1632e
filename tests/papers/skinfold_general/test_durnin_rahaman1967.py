"""Second typing of Durnin and Rahaman 1967 (Br J Nutr 21:681-689), density from four folds.

Seen: the coefficients of men, boys and girls in peer-reviewed tables; those of women are not
verified in print. The youth pair is often tabulated as a band under 17 years of the 1974 paper; it
belongs here. The standard error, about 0.0069 to 0.0082 g/cm3, is known for the adults only.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def log_sum(
    biceps_mm: np.ndarray,
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    suprailiac_midaxillary_mm: np.ndarray,
) -> np.ndarray:
    """Common logarithm of the sum of the four folds."""
    return np.log10(biceps_mm + triceps_mm + subscapular_mm + suprailiac_midaxillary_mm)


TYPED = {
    "durnin_rahaman1967_male": Typed(
        lambda biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm: (
            1.161
            - 0.0632 * log_sum(biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm)
        ),
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.0082,
        see_unit="density",
        ages=(18, 34),
        n=60,
    ),
    "durnin_rahaman1967_female": Typed(
        lambda biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm: (
            1.1581
            - 0.072 * log_sum(biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm)
        ),
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.0082,
        see_unit="density",
        ages=(18, 29),
        n=45,
    ),
    "durnin_rahaman1967_male_youth": Typed(
        lambda biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm: (
            1.1533
            - 0.0643 * log_sum(biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm)
        ),
        predicts="density",
        reference_method="density",
        sex="male",
        se=None,
        ages=(12.7, 15.7),
        n=48,
    ),
    "durnin_rahaman1967_female_youth": Typed(
        lambda biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm: (
            1.1369
            - 0.0598 * log_sum(biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm)
        ),
        predicts="density",
        reference_method="density",
        sex="female",
        se=None,
        ages=(13.2, 16.4),
        n=38,
    ),
}
test_second_typing = double_entry(TYPED)
