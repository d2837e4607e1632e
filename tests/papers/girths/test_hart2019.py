"""Second typing of the two forms for young adults of 2019.

Hart PD. Percent body fat prediction from body mass index and waist circumference: new
cross-validated equations for young adults. Am J Med Sci Med 2019;7:190-197.

Seen: the abstract with the coefficients. It prints the sex term without its variable and does not
name the waist site: men as one and the iliac crest are inferences. The errors follow from the
half-widths of the limits of agreement, 7.5 and 6.8, divided by 1.96.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def from_bmi(weight_kg: np.ndarray, height_cm: np.ndarray, is_male: np.ndarray) -> np.ndarray:
    """Give percent fat from body mass index."""
    bmi = weight_kg / (height_cm / 100) ** 2
    return 10.47827 + 0.98342 * bmi - 12.5067 * is_male


TYPED = {
    "hart2019_both_bmi": Typed(
        from_bmi,
        predicts="fat_percent",
        reference_method="dxa",
        sex="both",
        se=3.83,
        ages=(18, 24),
        n=684,
    ),
    "hart2019_both_waist": Typed(
        lambda waist_iliac_cm, is_male: 2.5102 + 0.38914 * waist_iliac_cm - 13.34843 * is_male,
        predicts="fat_percent",
        reference_method="dxa",
        sex="both",
        se=3.47,
        ages=(18, 24),
        n=684,
    ),
}
test_second_typing = double_entry(TYPED)
