"""Faulkner JA. Physiology of swimming and diving.
In: Falls H (ed), Exercise Physiology. Academic Press 1968:415-446.

The coefficients were seen through a worked example in teaching slides. Derived on male swimmers and
used for both sexes; neither sample size nor error is known. The suprailiac fold of this lineage is
read as the supraspinale one, which is uncertain.
"""

import numpy as np
import pytest

from papers.double_entry import Typed, double_entry, from_card


def both(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    supraspinale_mm: np.ndarray,
    abdominal_mm: np.ndarray,
) -> np.ndarray:
    return 5.783 + 0.153 * (triceps_mm + subscapular_mm + supraspinale_mm + abdominal_mm)


TYPED = {
    "faulkner1968_both": Typed(
        both,
        predicts="fat_percent",
        reference_method="density",
        sex="both",
        se=None,
        ages=(16, 40),
        n=None,
    ),
}
test_second_typing = double_entry(TYPED)


def test_slide_example() -> None:
    """Medical residency slides 'Formulas antropometricas': four folds adding to 81.2 mm."""
    person = {
        "abdominal_mm": np.array([24.0]),
        "triceps_mm": np.array([17.0]),
        "supraspinale_mm": np.array([18.6]),
        "subscapular_mm": np.array([21.6]),
    }
    fat = from_card("faulkner1968_both", person)
    # The slide cuts 18.2066 off after two decimals instead of rounding: a whole last digit.
    assert fat[0] == pytest.approx(18.20, abs=0.01)
