"""Peterson MJ, Czerwinski SA, Siervogel RM. Am J Clin Nutr 2003;77(5):1186-1191.

Sample size (681, both sexes together) and cross-validation means were seen in the abstract; the
coefficients and the error of 4 to 5 % fat (men) were not seen in print. Criterion: four
compartments. Suprailiac fold in the midaxillary line, thigh fold at mid-thigh.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    suprailiac_midaxillary_mm: np.ndarray,
    thigh_mm: np.ndarray,
    age_years: np.ndarray,
    height_cm: np.ndarray,
) -> np.ndarray:
    total = triceps_mm + subscapular_mm + suprailiac_midaxillary_mm + thigh_mm
    body = 20.94878 + 0.1166 * age_years - 0.11666 * height_cm
    return body + 0.42696 * total - 0.00159 * total**2


def female(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    suprailiac_midaxillary_mm: np.ndarray,
    thigh_mm: np.ndarray,
    age_years: np.ndarray,
    height_cm: np.ndarray,
    weight_kg: np.ndarray,
) -> np.ndarray:
    total = triceps_mm + subscapular_mm + suprailiac_midaxillary_mm + thigh_mm
    bmi = weight_kg / (height_cm / 100) ** 2
    body = 22.18945 + 0.06368 * age_years + 0.60404 * bmi - 0.1452 * height_cm
    return body + 0.30919 * total - 0.00099562 * total**2


TYPED = {
    "peterson2003_male": Typed(
        male,
        predicts="fat_percent",
        reference_method="density",
        sex="male",
        se=5.0,
        see_unit="fat_percent",
        ages=(18, 55),
        n=681,
    ),
    "peterson2003_female": Typed(
        female,
        predicts="fat_percent",
        reference_method="density",
        sex="female",
        se=None,
        ages=(18, 55),
        n=681,
    ),
}
test_second_typing = double_entry(TYPED)
