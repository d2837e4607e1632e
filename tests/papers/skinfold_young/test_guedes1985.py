"""Guedes DP. Kinesis 1985;1:183-212 (Brazilian students: 110 men, 96 women, 18 to 30 years).

The paper was not seen; a Portuguese textbook of biometry quotes both equations, with logarithms to
base 10 and their errors (0.0057 g/cm3 in men, 0.0053 in women), and a later abstract on 304 Brazilian
men reports that the form for men holds there. Ages and numbers of people are not verified in print.
Typed anew from the notes on the textbook, by a second typist who had not seen the cards. Criterion:
underwater weighing. Suprailiac fold in the midaxillary line.
"""

from typing import Any

import numpy as np

from papers.double_entry import Typed, double_entry


def men(triceps_mm: Any, suprailiac_midaxillary_mm: Any, abdominal_mm: Any) -> Any:
    return 1.17136 - 0.06706 * np.log10(triceps_mm + suprailiac_midaxillary_mm + abdominal_mm)


def women(thigh_mm: Any, suprailiac_midaxillary_mm: Any, subscapular_mm: Any) -> Any:
    return 1.16650 - 0.07063 * np.log10(thigh_mm + suprailiac_midaxillary_mm + subscapular_mm)


TYPED = {
    "guedes1985_male": Typed(
        men, "density", "density", "male", 0.0057, "density", ages=(18, 30), n=110
    ),
    "guedes1985_female": Typed(
        women, "density", "density", "female", 0.0053, "density", ages=(18, 30), n=96
    ),
}
test_second_typing = double_entry(TYPED)
