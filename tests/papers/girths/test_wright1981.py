"""Second typing of the two marine corps girth forms.

Wright HF, Dotson CO, Davis PO. An investigation of assessment techniques for body composition of
women Marines. US Navy Med 1980;71:15-26. The same authors: A simple technique for measurement of
percent body fat in man. Mil Med 1981;146:23-27.

Seen: the men's slopes in the tables of Moon and others (2008), who print the constant 0.985; the
constant 0.528 used here and the women's coefficients were not seen in print.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def women(
    arm_relaxed_girth_cm: np.ndarray,
    forearm_girth_cm: np.ndarray,
    neck_cm: np.ndarray,
    abdomen_navel_cm: np.ndarray,
    thigh_upper_girth_cm: np.ndarray,
) -> np.ndarray:
    """Give percent fat of women."""
    arm = 1.051 * arm_relaxed_girth_cm - 1.522 * forearm_girth_cm
    trunk = -0.879 * neck_cm + 0.326 * abdomen_navel_cm
    return arm + trunk + 0.597 * thigh_upper_girth_cm + 0.707


TYPED = {
    "wright1981_male_abdomen_neck": Typed(
        lambda abdomen_navel_cm, neck_cm: 0.74 * abdomen_navel_cm - 1.249 * neck_cm + 0.528,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.67,
        ages=(17, 46),
        n=279,
    ),
    "wright1980_female_girths": Typed(
        women,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=4.11,
        ages=(18, 39),
        n=181,
    ),
}
test_second_typing = double_entry(TYPED)
