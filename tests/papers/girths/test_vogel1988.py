"""Second typing of the 1988 army girth forms.

Vogel JA, Kirkpatrick JW, Fitzgerald PI, Hodgdon JA, Harman EA. Derivation of anthropometry based
body fat equations for the Army's weight control program. USARIEM report T17-88, Natick, 1988.

Seen: the men's form in centimetres, in the tables of Moon and others (2008). The women's
coefficients were not seen in print.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry, from_card


def men(abdomen_navel_cm: np.ndarray, neck_cm: np.ndarray, height_cm: np.ndarray) -> np.ndarray:
    """Give percent fat of men."""
    return 76.5 * np.log10(abdomen_navel_cm - neck_cm) - 68.7 * np.log10(height_cm) + 43.7


def women(
    weight_kg: np.ndarray,
    wrist_girth_cm: np.ndarray,
    neck_cm: np.ndarray,
    forearm_girth_cm: np.ndarray,
    hip_cm: np.ndarray,
    height_cm: np.ndarray,
) -> np.ndarray:
    """Give percent fat of women."""
    upper_body = -0.2 * wrist_girth_cm - 0.533 * neck_cm - 1.574 * forearm_girth_cm
    return 105.3 * np.log10(weight_kg) + upper_body + 0.173 * hip_cm - 0.515 * height_cm - 35.6


TYPED = {
    "vogel1988_male_abdomen_neck": Typed(
        men,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=4.02,
        ages=(17, 47),
        n=1126,
    ),
    "vogel1988_female_girths": Typed(
        women,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=3.6,
        ages=(17, 47),
        n=266,
    ),
}
test_second_typing = double_entry(TYPED)


def test_constant_for_inches_is_46_9() -> None:
    """The reading 46.9 that circulates is the constant for inches; printed to one decimal."""
    people = {
        "abdomen_navel_cm": np.array([75.0, 88.0, 115.0]),
        "neck_cm": np.array([35.0, 38.0, 43.0]),
        "height_cm": np.array([165.0, 178.0, 190.0]),
    }
    inches = {name: values / 2.54 for name, values in people.items()}
    girth = np.log10(inches["abdomen_navel_cm"] - inches["neck_cm"])
    in_inches = 76.5 * girth - 68.7 * np.log10(inches["height_cm"]) + 46.9
    card = from_card("vogel1988_male_abdomen_neck", people)
    np.testing.assert_allclose(card, in_inches, rtol=0, atol=0.05)
