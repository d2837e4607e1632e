"""Second typing of the one-girth forms adopted in 2023 for active-duty adults.

Taylor KM, Castellani MP, Bartlett PM, Oliver TE, McClung HL. Development and cross-validation of a
circumference-based predictive equation to estimate body fat in an active population. Obes Sci
Pract 2024;10:e747.

Seen: the abstract with the sample sizes and the criterion; not the coefficients, which are meant
for pounds and inches.
"""

from __future__ import annotations

from papers.double_entry import Typed, double_entry

TYPED = {
    "taylor2024_male_abdomen": Typed(
        lambda weight_kg, abdomen_navel_cm: (
            -26.97 - 0.12 * (weight_kg / 0.45359237) + 1.99 * (abdomen_navel_cm / 2.54)
        ),
        predicts="fat_percent",
        reference_method="dxa",
        sex="male",
        se=None,
        ages=(17, 60),
        n=1261,
    ),
    "taylor2024_female_abdomen": Typed(
        lambda weight_kg, abdomen_navel_cm: (
            -9.15 - 0.015 * (weight_kg / 0.45359237) + 1.27 * (abdomen_navel_cm / 2.54)
        ),
        predicts="fat_percent",
        reference_method="dxa",
        sex="female",
        se=None,
        ages=(17, 60),
        n=643,
    ),
}
test_second_typing = double_entry(TYPED)
