"""Second typing of the two 1984 navy density forms.

Hodgdon JA, Beckett MB. Prediction of percent body fat for U.S. Navy men and women from body
circumferences and height. Naval Health Research Center, reports 84-11 and 84-29, San Diego, 1984.

Seen: the three-decimal rounding of the men's form in the tables of Moon and others (2008); the
sites, correlation and error of the method in a 2021 abstract. The five-decimal coefficients were
not seen in print.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def men(abdomen_navel_cm: np.ndarray, neck_cm: np.ndarray, height_cm: np.ndarray) -> np.ndarray:
    """Give the density of men with all printed decimals."""
    girth = np.log10(abdomen_navel_cm - neck_cm)
    return 1.0324 - 0.19077 * girth + 0.15456 * np.log10(height_cm)


def men_rounded(
    abdomen_navel_cm: np.ndarray, neck_cm: np.ndarray, height_cm: np.ndarray
) -> np.ndarray:
    """Give the density of men with the coefficients rounded to three decimals."""
    girth = np.log10(abdomen_navel_cm - neck_cm)
    return 1.032 - 0.191 * girth + 0.155 * np.log10(height_cm)


def women(
    waist_narrowest_cm: np.ndarray, hip_cm: np.ndarray, neck_cm: np.ndarray, height_cm: np.ndarray
) -> np.ndarray:
    """Give the density of women."""
    girth = np.log10(waist_narrowest_cm + hip_cm - neck_cm)
    return 1.29579 - 0.35004 * girth + 0.221 * np.log10(height_cm)


TYPED = {
    "hodgdon_beckett1984_male_abdomen_neck": Typed(
        men,
        predicts="density",
        reference_method="density",
        sex="male",
        se=3.52,
        ages=(18, 56),
        n=602,
    ),
    "hodgdon_beckett1984_male_abdomen_neck_rounded": Typed(
        men_rounded,
        predicts="density",
        reference_method="density",
        sex="male",
        se=3.52,
        ages=(18, 56),
        n=602,
    ),
    "hodgdon_beckett1984_female_waist_hip_neck": Typed(
        women,
        predicts="density",
        reference_method="density",
        sex="female",
        se=3.72,
        ages=(18, 44),
        n=214,
    ),
}
test_second_typing = double_entry(TYPED)
