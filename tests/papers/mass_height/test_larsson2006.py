"""Second typing of the weight-for-height forms of 2006.

Larsson I, Henning B, Lindroos AK, Naslund I, Sjostrom CD, Sjostrom L. Optimized predictions of
absolute and relative amounts of body fat from weight, height, other anthropometric predictors, and
age. Am J Clin Nutr 2006;83:252-259.

Seen: the coefficients in a table of Krachler and others (2013). Height enters in metres; the
sample size is not known.
"""

from __future__ import annotations

from papers.double_entry import Typed, double_entry

TYPED = {
    "larsson2006_male_weight_height": Typed(
        lambda weight_kg, height_cm: -30.84 + 1.12 * weight_kg / (height_cm / 100),
        predicts="fat_mass",
        reference_method="dxa",
        sex="male",
        se=None,
        ages=(37, 61),
    ),
    "larsson2006_female_weight_height": Typed(
        lambda weight_kg, height_cm: -24.18 + 1.181 * weight_kg / (height_cm / 100),
        predicts="fat_mass",
        reference_method="dxa",
        sex="female",
        se=None,
        ages=(37, 61),
    ),
}
test_second_typing = double_entry(TYPED)
