"""Second typing of Deurenberg, Pieters and Hautvast 1990 (Br J Nutr 63:293-303), % fat of youth.

Seen: the postpubertal coefficients of both sexes in a peer-reviewed table. The other stages are
not verified in print, nor are the age limits (approximate) and the standard error.
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
    "deurenberg1990_male_prepubertal": Typed(
        lambda biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm: (
            26.56 * log_sum(biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm)
            - 22.23
        ),
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=4.5,
        see_unit="fat_percent",
        ages=(7, 12),
        n=378,
    ),
    "deurenberg1990_male_pubertal": Typed(
        lambda biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm: (
            18.7 * log_sum(biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm) - 11.91
        ),
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=4.5,
        see_unit="fat_percent",
        ages=(11, 16),
        n=378,
    ),
    "deurenberg1990_male_postpubertal": Typed(
        lambda biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm: (
            18.88 * log_sum(biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm)
            - 15.58
        ),
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=4.5,
        see_unit="fat_percent",
        ages=(14, 20),
        n=378,
    ),
    "deurenberg1990_female_prepubertal": Typed(
        lambda biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm: (
            29.85 * log_sum(biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm)
            - 25.87
        ),
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=4.5,
        see_unit="fat_percent",
        ages=(7, 11),
        n=378,
    ),
    "deurenberg1990_female_pubertal": Typed(
        lambda biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm: (
            23.94 * log_sum(biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm)
            - 18.89
        ),
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=4.5,
        see_unit="fat_percent",
        ages=(10, 15),
        n=378,
    ),
    "deurenberg1990_female_postpubertal": Typed(
        lambda biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm: (
            39.02 * log_sum(biceps_mm, triceps_mm, subscapular_mm, suprailiac_midaxillary_mm)
            - 43.49
        ),
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=4.5,
        see_unit="fat_percent",
        ages=(13, 20),
        n=378,
    ),
}
test_second_typing = double_entry(TYPED)
