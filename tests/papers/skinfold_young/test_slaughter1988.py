"""Second typing of Slaughter and others 1988 (Hum Biol 60:709-723), % fat of children and youth.

Seen: in a peer-reviewed table both triceps and calf lines, the slopes of the triceps and
subscapular parabolas, and the straight lines above 35 mm. The boys' constants by ancestry and
maturity are not verified in print; the girls' constant of 2.5 stands in one table beside the 2.4 of
Boileau's girls (1985), with which it was confused.
The two branches do not meet at 35 mm; that is how they were published.
"""

from __future__ import annotations

import numpy as np

from papers.double_entry import Typed, double_entry


def boys(total: np.ndarray, constant: float) -> np.ndarray:
    """% fat of boys: a parabola up to 35 mm, one straight line above."""
    return np.where(total <= 35, 1.21 * total - 0.008 * total**2 - constant, 0.783 * total + 1.6)


def girls(total: np.ndarray) -> np.ndarray:
    """% fat of girls: a parabola up to 35 mm, one straight line above."""
    return np.where(total <= 35, 1.33 * total - 0.013 * total**2 - 2.5, 0.546 * total + 9.7)


TYPED = {
    "slaughter1988_male_tri_calf": Typed(
        lambda triceps_mm, calf_mm: 0.735 * (triceps_mm + calf_mm) + 1.0,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.8,
        see_unit="fat_percent",
        ages=(8, 18),
        n=310,
    ),
    "slaughter1988_female_tri_calf": Typed(
        lambda triceps_mm, calf_mm: 0.61 * (triceps_mm + calf_mm) + 5.1,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=3.8,
        see_unit="fat_percent",
        ages=(8, 18),
        n=310,
    ),
    "slaughter1988_male_tri_sub_white_prepubescent": Typed(
        lambda triceps_mm, subscapular_mm: boys(triceps_mm + subscapular_mm, 1.7),
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.6,
        see_unit="fat_percent",
        ages=(8, 18),
        n=310,
    ),
    "slaughter1988_male_tri_sub_white_pubescent": Typed(
        lambda triceps_mm, subscapular_mm: boys(triceps_mm + subscapular_mm, 3.4),
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.6,
        see_unit="fat_percent",
        ages=(8, 18),
        n=310,
    ),
    "slaughter1988_male_tri_sub_white_postpubescent": Typed(
        lambda triceps_mm, subscapular_mm: boys(triceps_mm + subscapular_mm, 5.5),
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.6,
        see_unit="fat_percent",
        ages=(8, 18),
        n=310,
    ),
    "slaughter1988_male_tri_sub_black_prepubescent": Typed(
        lambda triceps_mm, subscapular_mm: boys(triceps_mm + subscapular_mm, 3.2),
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.6,
        see_unit="fat_percent",
        ages=(8, 18),
        n=310,
    ),
    "slaughter1988_male_tri_sub_black_pubescent": Typed(
        lambda triceps_mm, subscapular_mm: boys(triceps_mm + subscapular_mm, 5.2),
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.6,
        see_unit="fat_percent",
        ages=(8, 18),
        n=310,
    ),
    "slaughter1988_male_tri_sub_black_postpubescent": Typed(
        lambda triceps_mm, subscapular_mm: boys(triceps_mm + subscapular_mm, 6.8),
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=3.6,
        see_unit="fat_percent",
        ages=(8, 18),
        n=310,
    ),
    "slaughter1988_female_tri_sub": Typed(
        lambda triceps_mm, subscapular_mm: girls(triceps_mm + subscapular_mm),
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=3.6,
        see_unit="fat_percent",
        ages=(8, 18),
        n=310,
    ),
}
test_second_typing = double_entry(TYPED)
