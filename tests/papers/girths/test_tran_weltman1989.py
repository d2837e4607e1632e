"""Second typing of the generalised girth forms of 1988 (men) and 1989 (women).

Tran ZV, Weltman A. Predicting body composition of men from girth measurements. Hum Biol
1988;60:167-175. The same authors: Generalized equation for predicting body density of women from
girth measurements. Med Sci Sports Exerc 1989;21:101-104.

Seen: the abstract of 1989 with every coefficient (its plus signs are lost, but the size of the
terms leaves no choice); nothing of 1988.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def men(
    waist_narrowest_cm: np.ndarray,
    abdomen_navel_cm: np.ndarray,
    hip_cm: np.ndarray,
    waist_iliac_cm: np.ndarray,
    weight_kg: np.ndarray,
) -> np.ndarray:
    """Give percent fat of men."""
    abdomen = (waist_narrowest_cm + abdomen_navel_cm) / 2
    girths = 0.57914807 * abdomen + 0.25189114 * hip_cm + 0.21366088 * waist_iliac_cm
    return -47.371817 + girths - 0.35595404 * weight_kg


def women(
    waist_narrowest_cm: np.ndarray,
    abdomen_navel_cm: np.ndarray,
    hip_cm: np.ndarray,
    height_cm: np.ndarray,
    age_years: np.ndarray,
) -> np.ndarray:
    """Give the density of women."""
    abdomen = (waist_narrowest_cm + abdomen_navel_cm) / 2
    girths = -0.002824 * abdomen + 0.0000122098 * abdomen**2 - 0.000733128 * hip_cm
    return 1.168297 + girths + 0.000510477 * height_cm - 0.000216161 * age_years


TYPED = {
    "tran_weltman1988_male_girths": Typed(
        men,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=4.4,
        ages=(21, 78),
        n=462,
    ),
    "tran_weltman1989_female_girths": Typed(
        women,
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.009486784,
        see_unit="density",
        ages=(15, 79),
        n=400,
    ),
}
test_second_typing = double_entry(TYPED)
