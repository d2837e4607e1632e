"""Pascale LR, Grossman MI, Sloane HS, Frankel T. Hum Biol 1956;28(2):165-176 (88 US soldiers).

Intercept and first coefficient were seen in print, per centimetre of fold; the other two were not.
All three are typed per millimetre here. No error is known. Criterion: underwater weighing.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male(midaxillary_mm: np.ndarray, chest_mm: np.ndarray, triceps_mm: np.ndarray) -> np.ndarray:
    return 1.088468 - 0.0007123 * midaxillary_mm - 0.0004834 * chest_mm - 0.0005513 * triceps_mm


TYPED = {
    "pascale1956_male": Typed(
        male,
        predicts="density",
        reference_method="density",
        sex="male",
        se=None,
        ages=(17, 25),
        n=88,
    ),
}
test_second_typing = double_entry(TYPED)
