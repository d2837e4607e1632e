"""Second typing of the lean body weight form for men of 1985.

Penrose KW, Nelson AG, Fisher AG. Generalized body composition prediction equation for men using
simple measurement techniques (abstract). Med Sci Sports Exerc 1985;17:189.

Seen: the description of the data behind the form, not the abstract itself; a refit of those data
comes close to the coefficients.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def men(
    weight_kg: np.ndarray,
    age_years: np.ndarray,
    height_cm: np.ndarray,
    abdomen_navel_cm: np.ndarray,
    wrist_girth_cm: np.ndarray,
) -> np.ndarray:
    """Give the lean body weight of men in kilograms."""
    ageing = -0.2783 * age_years + 0.002617 * age_years**2
    size = 0.89946 * weight_kg + 17.819 * (height_cm / 100)
    return 17.298 + size + ageing - 0.6798 * (abdomen_navel_cm - wrist_girth_cm)


TYPED = {
    "penrose1985_male_girths": Typed(
        men,
        predicts="fat_free_mass",
        reference_method="density",
        sex="male",
        se=3.27,
        see_unit="mass",
        ages=(22, 81),
        n=143,
    ),
}
test_second_typing = double_entry(TYPED)
