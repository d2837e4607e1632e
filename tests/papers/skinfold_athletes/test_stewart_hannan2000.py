"""Stewart AD, Hannan WJ. J Sports Sci 2000;18(4):263-274 (82 male athletes in Scotland).

R2, the error of 1.732 kg and the first coefficient were seen in print, the rest was not. The form
gives fat in grams, hence the division. Criterion: DXA.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male(abdominal_mm: np.ndarray, thigh_mm: np.ndarray, weight_kg: np.ndarray) -> np.ndarray:
    grams = 331.5 * abdominal_mm + 356.2 * thigh_mm + 111.9 * weight_kg - 9108
    return grams / 1000


TYPED = {
    "stewart_hannan2000_male": Typed(
        male,
        predicts="fat_mass",
        reference_method="dxa",
        sex="male",
        se=1.732,
        see_unit="mass",
        ages=(18, 40),
        n=82,
    ),
}
test_second_typing = double_entry(TYPED)
