"""Second typing of Thorland and others 1984 (Med Sci Sports Exerc 16:77-81), adolescent athletes.

Seen: the abstract (141 boys, 133 girls) and the boys' coefficients in a peer-reviewed table. The
girls' coefficients and all standard errors are not verified in print.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def boys_seven(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    midaxillary_mm: np.ndarray,
    suprailiac_midaxillary_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    thigh_mm: np.ndarray,
    calf_mm: np.ndarray,
) -> np.ndarray:
    """Density of boys from seven folds."""
    total = (
        triceps_mm
        + subscapular_mm
        + midaxillary_mm
        + suprailiac_midaxillary_mm
        + abdominal_mm
        + thigh_mm
        + calf_mm
    )
    return 1.1091 - 0.00052 * total + 0.00000032 * total**2


def boys_three(
    triceps_mm: np.ndarray, subscapular_mm: np.ndarray, midaxillary_mm: np.ndarray
) -> np.ndarray:
    """Density of boys from triceps, subscapular and midaxillary."""
    total = triceps_mm + subscapular_mm + midaxillary_mm
    return 1.1136 - 0.00154 * total + 0.00000516 * total**2


def girls_seven(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    midaxillary_mm: np.ndarray,
    suprailiac_midaxillary_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    thigh_mm: np.ndarray,
    calf_mm: np.ndarray,
) -> np.ndarray:
    """Density of girls from seven folds."""
    total = (
        triceps_mm
        + subscapular_mm
        + midaxillary_mm
        + suprailiac_midaxillary_mm
        + abdominal_mm
        + thigh_mm
        + calf_mm
    )
    return 1.1046 - 0.00059 * total + 0.0000006 * total**2


def girls_three(
    triceps_mm: np.ndarray, subscapular_mm: np.ndarray, suprailiac_midaxillary_mm: np.ndarray
) -> np.ndarray:
    """Density of girls from triceps, subscapular and suprailiac."""
    total = triceps_mm + subscapular_mm + suprailiac_midaxillary_mm
    return 1.0987 - 0.00122 * total + 0.00000263 * total**2


TYPED = {
    "thorland1984_male_7site": Typed(
        boys_seven,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.0055,
        see_unit="density",
        ages=(14, 19),
        n=141,
    ),
    "thorland1984_male_3site": Typed(
        boys_three,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.0056,
        see_unit="density",
        ages=(14, 19),
        n=141,
    ),
    "thorland1984_female_7site": Typed(
        girls_seven,
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.006,
        see_unit="density",
        ages=(11, 19),
        n=133,
    ),
    "thorland1984_female_3site": Typed(
        girls_three,
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.006,
        see_unit="density",
        ages=(11, 19),
        n=133,
    ),
}
test_second_typing = double_entry(TYPED)
