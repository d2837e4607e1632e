"""Second typing of the body-mass-index lines of 1977.

Womersley J, Durnin JVGA. A comparison of the skinfold method with extent of overweight and various
weight-height relationships in the assessment of obesity. Br J Nutr 1977;38:271-284.

Seen: no source for the coefficients; the error figures are uncertain too.
"""

from __future__ import annotations

from papers.double_entry import Typed, double_entry

TYPED = {
    "womersley_durnin1977_male_bmi": Typed(
        lambda weight_kg, height_cm: 1.34 * weight_kg / (height_cm / 100) ** 2 - 12.47,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=5.7,
        ages=(17, 72),
        n=245,
    ),
    "womersley_durnin1977_female_bmi": Typed(
        lambda weight_kg, height_cm: 1.37 * weight_kg / (height_cm / 100) ** 2 - 3.47,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=5.0,
        ages=(16, 68),
        n=324,
    ),
}
test_second_typing = double_entry(TYPED)
