"""Second typing of the lean weight form from weight and abdomen for young men.

Wilmore JH, Behnke AR. An anthropometric estimation of body density and lean body weight in young
men. J Appl Physiol 1969;27:25-31.

Seen: nothing of this form in the paper; the form in pounds and inches that circulates describes
the same line.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry, from_card

TYPED = {
    "wilmore_behnke1969_male_abdomen": Typed(
        lambda weight_kg, abdomen_navel_cm: 44.636 + 1.0817 * weight_kg - 0.7396 * abdomen_navel_cm,
        predicts="fat_free_mass",
        reference_method="density",
        sex="male",
        se=2.8,
        see_unit="mass",
        ages=(17, 37),
        n=133,
    ),
}
test_second_typing = double_entry(TYPED)


def test_pound_and_inch_form_is_the_same_line() -> None:
    """The form 98.42 + 1.082 lb - 4.15 in, in pounds, is the line in kilograms and centimetres.

    The metric slope of the abdomen is 4.142 pounds an inch, which would have been rounded to 4.14;
    so the tolerance is one unit in the last printed place of each of the three numbers.
    """
    people = {
        "weight_kg": np.array([60.0, 80.0, 80.0, 100.0, 120.0]),
        "abdomen_navel_cm": np.array([72.0, 80.0, 90.0, 100.0, 115.0]),
    }
    pounds = people["weight_kg"] / 0.45359237
    inches = people["abdomen_navel_cm"] / 2.54
    lean_pounds = 98.42 + 1.082 * pounds - 4.15 * inches
    card = from_card("wilmore_behnke1969_male_abdomen", people) / 0.45359237
    assert np.all(np.abs(card - lean_pounds) <= 0.01 + 0.001 * pounds + 0.01 * inches)
