"""Katch FI, McArdle WD. Hum Biol 1973;45(3):445-455, and the two-fold form of their textbooks.

No coefficient was seen in print. The 1973 samples were 53 men and 69 women of college age; the
textbook form names neither sample nor error. Criterion: underwater weighing. Women's suprailiac
fold in the midaxillary line, thigh girth read as the upper one.
"""

import numpy as np
import pytest

from papers.double_entry import Typed, double_entry, from_card


def male_1973(
    triceps_mm: np.ndarray, subscapular_mm: np.ndarray, abdominal_mm: np.ndarray
) -> np.ndarray:
    return 1.09665 - 0.00103 * triceps_mm - 0.00056 * subscapular_mm - 0.00054 * abdominal_mm


def female_1973(
    subscapular_mm: np.ndarray,
    suprailiac_midaxillary_mm: np.ndarray,
    elbow_breadth_cm: np.ndarray,
    thigh_upper_girth_cm: np.ndarray,
) -> np.ndarray:
    folds = 0.00049 * subscapular_mm + 0.00075 * suprailiac_midaxillary_mm
    return 1.09246 - folds + 0.0071 * elbow_breadth_cm - 0.00121 * thigh_upper_girth_cm


TYPED = {
    "katch_mcardle1973_male": Typed(
        male_1973,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.0072,
        see_unit="density",
        ages=(17, 26),
        n=53,
    ),
    "katch_mcardle1973_female": Typed(
        female_1973,
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.0086,
        see_unit="density",
        ages=(17, 26),
        n=69,
    ),
    "katch_mcardle_textbook_male_pct": Typed(
        lambda triceps_mm, subscapular_mm: 0.43 * triceps_mm + 0.58 * subscapular_mm + 1.47,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=None,
        ages=(17, 26),
        n=None,
    ),
    "katch_mcardle_textbook_female_pct": Typed(
        lambda triceps_mm, subscapular_mm: 0.55 * triceps_mm + 0.31 * subscapular_mm + 6.13,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=None,
        ages=(17, 26),
        n=None,
    ),
}
test_second_typing = double_entry(TYPED)


def test_textbook_example_woman() -> None:
    """McArdle, Katch & Katch, Exercise Physiology: a woman with folds of 22.5 and 19.0 mm."""
    woman = {"triceps_mm": np.array([22.5]), "subscapular_mm": np.array([19.0])}
    fat = from_card("katch_mcardle_textbook_female_pct", woman)
    assert fat[0] == pytest.approx(24.4, abs=0.05)
