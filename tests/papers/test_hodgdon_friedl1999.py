"""Second typing of the 1999 service forms that give percent fat directly.

Hodgdon JA, Friedl K. Development of the DoD body composition estimation equations. Technical
document 99-2B, Naval Health Research Center, San Diego, 1999.

Seen: the summary page of the report; not its coefficients. The centimetre forms follow from the
inch forms by algebra.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry, from_card


def men_inch(
    abdomen_navel_cm: np.ndarray, neck_cm: np.ndarray, height_cm: np.ndarray
) -> np.ndarray:
    """Give percent fat of men from girths turned into inches."""
    girth = np.log10((abdomen_navel_cm - neck_cm) / 2.54)
    return 86.01 * girth - 70.041 * np.log10(height_cm / 2.54) + 36.76


def men_cm(abdomen_navel_cm: np.ndarray, neck_cm: np.ndarray, height_cm: np.ndarray) -> np.ndarray:
    """Give percent fat of men from girths in centimetres."""
    girth = np.log10(abdomen_navel_cm - neck_cm)
    return 86.01 * girth - 70.041 * np.log10(height_cm) + 30.3


def women_inch(
    waist_narrowest_cm: np.ndarray, hip_cm: np.ndarray, neck_cm: np.ndarray, height_cm: np.ndarray
) -> np.ndarray:
    """Give percent fat of women from girths turned into inches."""
    girth = np.log10((waist_narrowest_cm + hip_cm - neck_cm) / 2.54)
    return 163.205 * girth - 97.684 * np.log10(height_cm / 2.54) - 78.387


def women_cm(
    waist_narrowest_cm: np.ndarray, hip_cm: np.ndarray, neck_cm: np.ndarray, height_cm: np.ndarray
) -> np.ndarray:
    """Give percent fat of women from girths in centimetres."""
    girth = np.log10(waist_narrowest_cm + hip_cm - neck_cm)
    return 163.205 * girth - 97.684 * np.log10(height_cm) - 104.912


MEN = {"predicts": "fat_percent", "scale": "density", "sex": "male", "se": 3.52}
WOMEN = {"predicts": "fat_percent", "scale": "density", "sex": "female", "se": 3.61}

TYPED = {
    "hodgdon_friedl1999_male_abdomen_neck_inch": Typed(men_inch, **MEN, ages=(17, 60), n=602),
    "hodgdon_friedl1999_male_abdomen_neck": Typed(men_cm, **MEN, ages=(17, 60), n=602),
    "hodgdon_friedl1999_female_waist_hip_neck_inch": Typed(
        women_inch, **WOMEN, ages=(17, 60), n=214
    ),
    "hodgdon_friedl1999_female_waist_hip_neck": Typed(women_cm, **WOMEN, ages=(17, 60), n=214),
}
test_second_typing = double_entry(TYPED)

GRID = {
    "abdomen_navel_cm": np.array([70.0, 88.0, 110.0, 130.0]),
    "waist_narrowest_cm": np.array([60.0, 72.0, 95.0, 120.0]),
    "hip_cm": np.array([85.0, 98.0, 115.0, 135.0]),
    "neck_cm": np.array([30.0, 34.0, 40.0, 44.0]),
    "height_cm": np.array([150.0, 165.0, 178.0, 195.0]),
}


def test_inch_and_centimetre_forms_of_men_agree() -> None:
    """Constants 36.76 (inches) and 30.30 (centimetres) belong to one and the same line."""
    inch = from_card("hodgdon_friedl1999_male_abdomen_neck_inch", GRID)
    centimetre = from_card("hodgdon_friedl1999_male_abdomen_neck", GRID)
    np.testing.assert_allclose(inch, centimetre, rtol=0, atol=0.02)


def test_inch_and_centimetre_forms_of_women_agree() -> None:
    """Constants -78.387 (inches) and -104.912 (centimetres) belong to one and the same line."""
    inch = from_card("hodgdon_friedl1999_female_waist_hip_neck_inch", GRID)
    centimetre = from_card("hodgdon_friedl1999_female_waist_hip_neck", GRID)
    np.testing.assert_allclose(inch, centimetre, rtol=0, atol=0.02)
