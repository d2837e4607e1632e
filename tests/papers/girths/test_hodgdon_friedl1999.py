"""Second typing of the 1999 service forms that give percent fat directly.

Hodgdon JA, Friedl K. Development of the DoD body composition estimation equations. Technical
document 99-2B, Naval Health Research Center, San Diego, 1999.

Seen: the summary page of the report, and the inch forms as a service regulation quotes them. The
centimetre forms follow from the inch forms by algebra.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from foldspan.catalogue import EQUATIONS, equation_by_key
from foldspan.catalogue.card import Array, Equation
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


MEN = {"predicts": "fat_percent", "reference_method": "density", "sex": "male", "se": 3.52}
WOMEN = {"predicts": "fat_percent", "reference_method": "density", "sex": "female", "se": 3.61}

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


# the constants that belong to inches, by the girths they stand with
INCH_CONSTANTS = {
    frozenset({"abdomen_navel_cm", "neck_cm", "height_cm"}): 36.76,
    frozenset({"waist_narrowest_cm", "hip_cm", "neck_cm", "height_cm"}): -78.387,
}
# a body at which both logarithms of a centimetre form are zero: girths that leave 1 cm, and 1 cm tall
PERSON = {
    "abdomen_navel_cm": 41.0,
    "waist_narrowest_cm": 20.0,
    "hip_cm": 21.0,
    "neck_cm": 40.0,
    "height_cm": 1.0,
}


def is_paired_wrongly(card: Equation) -> bool:
    """Whether a card takes an inch constant to girths in centimetres: its constant is read off there."""
    inch = INCH_CONSTANTS.get(frozenset(card.quantities))
    if inch is None or card.predicts != "fat_percent":
        return False
    given = [np.array([PERSON[str(name)]]) for name in card.inputs]
    return math.isclose(float(card.formula(*given)[0]), inch, abs_tol=0.01)


def mispaired_men(abdomen: Array, neck: Array, height: Array) -> Array:
    """The constant of inches with girths in centimetres, as a page in circulation prints it."""
    return 86.01 * np.log10(abdomen - neck) - 70.041 * np.log10(height) + 36.76


def mispaired_women(waist: Array, hip: Array, neck: Array, height: Array) -> Array:
    """Likewise for women."""
    return 163.205 * np.log10(waist + hip - neck) - 97.684 * np.log10(height) - 78.387


def test_no_card_pairs_an_inch_constant_with_centimetres() -> None:
    assert [card.key for card in EQUATIONS if is_paired_wrongly(card)] == []
    asked = [equation for equation in EQUATIONS if frozenset(equation.quantities) in INCH_CONSTANTS]
    assert len(asked) > 5


@pytest.mark.parametrize(
    ("key", "wrong", "high"),
    [
        # (86.010 - 70.041) log10 2.54 and (163.205 - 97.684) log10 2.54
        ("hodgdon_friedl1999_male_abdomen_neck", mispaired_men, 6.5),
        ("hodgdon_friedl1999_female_waist_hip_neck", mispaired_women, 26.5),
    ],
)
def test_such_a_card_would_be_found_and_reads_high(key: str, wrong: object, high: float) -> None:
    """The step is the same for every body: the slopes' difference times the logarithm of 2.54."""
    card = equation_by_key(key)
    mispaired = replace(card, formula=wrong)
    assert is_paired_wrongly(mispaired)
    given = [GRID[str(name)] for name in card.inputs]
    step = mispaired.formula(*given) - from_card(key, GRID)
    np.testing.assert_allclose(step, high, rtol=0, atol=0.05)
