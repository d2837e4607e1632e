"""Second typing of the adipose tissue mass forms of 2015.

Al-Gindan YY, Hankey CR, Govan L, Gallagher D, Heymsfield SB, Lean MEJ. Derivation and validation of
simple equations to predict total adipose tissue mass from anthropometry. Br J Nutr 2015.

Seen: the abstract with every coefficient; it does not name the waist site. The criterion is
magnetic resonance imaging of the whole body, and the output is tissue, not pure fat.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def men(weight_kg: np.ndarray, waist_midpoint_cm: np.ndarray, height_cm: np.ndarray) -> np.ndarray:
    """Give the adipose tissue mass of men in kilograms."""
    return 0.198 * weight_kg + 0.478 * waist_midpoint_cm - 0.147 * height_cm - 12.8


def women(weight_kg: np.ndarray, age_years: np.ndarray, height_cm: np.ndarray) -> np.ndarray:
    """Give the adipose tissue mass of women in kilograms."""
    return 0.789 * weight_kg + 0.0786 * age_years - 0.342 * height_cm + 24.5


TYPED = {
    "al_gindan2015_male_waist": Typed(
        men,
        predicts="adipose_mass",
        reference_method="density",
        sex="male",
        se=3.8,
        see_unit="mass",
        ages=(18, 88),
        n=416,
    ),
    "al_gindan2015_female_weight_height": Typed(
        women,
        predicts="adipose_mass",
        reference_method="density",
        sex="female",
        se=3.0,
        see_unit="mass",
        ages=(18, 86),
        n=416,
    ),
}
test_second_typing = double_entry(TYPED)
