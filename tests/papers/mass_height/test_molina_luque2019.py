"""Second typing of the logarithmic body-mass-index form of 2019.

Molina-Luque R, Romero-Saldana M, and others. Equation Cordoba: a simplified method for estimation
of body fat. Int J Environ Res Public Health 2019;16:4529.

Seen: abstracts with the design; not the coefficients. The form was fitted to the output of another
equation, not to a measurement: the error typed here comes from limits of agreement of -0.97 and
0.96 with that other equation and says nothing about measured fat.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def adults(
    weight_kg: np.ndarray, height_cm: np.ndarray, age_years: np.ndarray, is_male: np.ndarray
) -> np.ndarray:
    """Give percent fat of working adults."""
    bmi = weight_kg / (height_cm / 100) ** 2
    return -97.102 + 0.123 * age_years + 11.9 * (1 - is_male) + 35.959 * np.log(bmi)


TYPED = {
    "molina_luque2019_both_bmi": Typed(
        adults,
        predicts="fat_percent",
        reference_method="density",
        sex="both",
        se=None,
        ages=(18, 65),
        n=906,
    ),
}
test_second_typing = double_entry(TYPED)
