"""Second typing of the four textbook girth forms by sex and age group.

Katch FI, McArdle WD. Nutrition, Weight Control and Exercise, 2nd edition, 1983; also the appendix
of girth constants in McArdle WD, Katch FI, Katch VL. Exercise Physiology.

Seen: nothing. The books print tables of constants; these straight lines, in inches, stand in for
them. Sample sizes are not known.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def young_men(
    arm_relaxed_girth_cm: np.ndarray, abdomen_navel_cm: np.ndarray, forearm_girth_cm: np.ndarray
) -> np.ndarray:
    """Give percent fat of men up to 26 years."""
    arm, abdomen = arm_relaxed_girth_cm / 2.54, abdomen_navel_cm / 2.54
    return 3.7 * arm + 1.31 * abdomen - 5.43 * (forearm_girth_cm / 2.54) - 10.2


def older_men(
    hip_cm: np.ndarray, abdomen_navel_cm: np.ndarray, forearm_girth_cm: np.ndarray
) -> np.ndarray:
    """Give percent fat of men from 27 years."""
    hip, abdomen = hip_cm / 2.54, abdomen_navel_cm / 2.54
    return 1.05 * hip + 0.9 * abdomen - 3.0 * (forearm_girth_cm / 2.54) - 15.0


def young_women(
    abdomen_navel_cm: np.ndarray, thigh_upper_girth_cm: np.ndarray, forearm_girth_cm: np.ndarray
) -> np.ndarray:
    """Give percent fat of women up to 26 years."""
    abdomen, thigh = abdomen_navel_cm / 2.54, thigh_upper_girth_cm / 2.54
    return 1.34 * abdomen + 2.08 * thigh - 4.31 * (forearm_girth_cm / 2.54) - 19.6


def older_women(
    abdomen_navel_cm: np.ndarray, thigh_upper_girth_cm: np.ndarray, calf_girth_cm: np.ndarray
) -> np.ndarray:
    """Give percent fat of women from 27 years."""
    abdomen, thigh = abdomen_navel_cm / 2.54, thigh_upper_girth_cm / 2.54
    return 1.19 * abdomen + 1.24 * thigh - 1.45 * (calf_girth_cm / 2.54) - 18.4


TYPED = {
    "katch_mcardle1983_male_young": Typed(
        young_men,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=4.0,
        ages=(17, 26),
    ),
    "katch_mcardle1983_male_older": Typed(
        older_men,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=4.0,
        ages=(27, 50),
    ),
    "katch_mcardle1983_female_young": Typed(
        young_women,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=4.0,
        ages=(17, 26),
    ),
    "katch_mcardle1983_female_older": Typed(
        older_women,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=4.0,
        ages=(27, 50),
    ),
}
test_second_typing = double_entry(TYPED)
