"""Carter JEL. Body composition of Montreal Olympic athletes.
In: Carter JEL (ed), Physical Structure of Olympic Athletes, Part I. Karger 1982:107-116.

Men: coefficients and sites were seen through a worked example in teaching slides. Women: nothing
was seen in print. Neither sample size nor error is known.
"""

import numpy as np
import pytest

from papers.double_entry import Typed, double_entry, from_card


def male(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    supraspinale_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    thigh_mm: np.ndarray,
    calf_mm: np.ndarray,
) -> np.ndarray:
    upper = triceps_mm + subscapular_mm + supraspinale_mm
    return 2.585 + 0.1051 * (upper + abdominal_mm + thigh_mm + calf_mm)


def female(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    supraspinale_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    thigh_mm: np.ndarray,
    calf_mm: np.ndarray,
) -> np.ndarray:
    upper = triceps_mm + subscapular_mm + supraspinale_mm
    return 3.58 + 0.1548 * (upper + abdominal_mm + thigh_mm + calf_mm)


TYPED = {
    "carter1982_male": Typed(
        male,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=None,
        ages=(18, 40),
        n=None,
    ),
    "carter1982_female": Typed(
        female,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=None,
        ages=(18, 40),
        n=None,
    ),
}
test_second_typing = double_entry(TYPED)


def test_slide_example_man() -> None:
    """Medical residency slides 'Formulas antropometricas': six folds adding to 118.0 mm."""
    man = {
        "subscapular_mm": np.array([21.6]),
        "triceps_mm": np.array([17.0]),
        "supraspinale_mm": np.array([28.0]),
        "abdominal_mm": np.array([24.0]),
        "thigh_mm": np.array([17.8]),
        "calf_mm": np.array([9.6]),
    }
    fat = from_card("carter1982_male", man)
    # The slide cuts 14.9868 off after two decimals instead of rounding: a whole last digit.
    assert fat[0] == pytest.approx(14.98, abs=0.01)
