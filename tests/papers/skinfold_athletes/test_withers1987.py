"""Withers RT and others. Eur J Appl Physiol 1987;56(2):169-180 (women athletes), 181-190 (women of
17 to 35 years), 191-200 (male athletes); seven-fold sum for men as given by Reilly and others 2009.

South Australian samples, underwater weighing. Coefficients, n, R and error of the three 1987 papers
were seen in their abstracts; of the seven-fold sum the coefficients were seen, the error was not.
The chest fold lies beside the nipple, the hip girth is the gluteal one.
"""

import numpy as np

from papers.double_entry import Typed, double_entry


def male_athletes(
    abdominal_mm: np.ndarray,
    calf_mm: np.ndarray,
    thigh_mm: np.ndarray,
    chest_mm: np.ndarray,
    age_years: np.ndarray,
    neck_cm: np.ndarray,
    ankle_girth_cm: np.ndarray,
) -> np.ndarray:
    total = abdominal_mm + calf_mm + thigh_mm + chest_mm
    girths = 0.000948 * neck_cm - 0.000564 * ankle_girth_cm
    return 1.078865 - 0.000419 * total + girths - 0.000266 * age_years


def male_7site(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    biceps_mm: np.ndarray,
    supraspinale_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    thigh_mm: np.ndarray,
    calf_mm: np.ndarray,
) -> np.ndarray:
    upper = triceps_mm + subscapular_mm + biceps_mm + supraspinale_mm
    return 1.0988 - 0.0004 * (upper + abdominal_mm + thigh_mm + calf_mm)


def female_athletes(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    supraspinale_mm: np.ndarray,
    calf_mm: np.ndarray,
    age_years: np.ndarray,
    waist_narrowest_cm: np.ndarray,
    height_cm: np.ndarray,
    hip_cm: np.ndarray,
    breast_girth_cm: np.ndarray,
) -> np.ndarray:
    total = triceps_mm + subscapular_mm + supraspinale_mm + calf_mm
    girths = 0.000331 * breast_girth_cm - 0.000612 * waist_narrowest_cm - 0.000505 * hip_cm
    person = 0.00044 * age_years + 0.000284 * height_cm
    return 1.14075 - 0.04959 * np.log10(total) + person + girths


def female_17_35(
    triceps_mm: np.ndarray,
    subscapular_mm: np.ndarray,
    supraspinale_mm: np.ndarray,
    thigh_mm: np.ndarray,
    abdominal_mm: np.ndarray,
    calf_mm: np.ndarray,
    hip_cm: np.ndarray,
    forearm_girth_cm: np.ndarray,
    elbow_breadth_cm: np.ndarray,
) -> np.ndarray:
    upper = triceps_mm + subscapular_mm + supraspinale_mm
    total = upper + thigh_mm + abdominal_mm + calf_mm
    frame = 0.0017 * forearm_girth_cm + 0.00606 * elbow_breadth_cm
    return 1.16957 - 0.06447 * np.log10(total) - 0.00081 * hip_cm + frame


TYPED = {
    "withers1987_male_athletes": Typed(
        male_athletes,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.00537,
        see_unit="density",
        ages=(15, 40),
        n=185,
    ),
    "withers1987_male_7site": Typed(
        male_7site,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.0058,
        see_unit="density",
        ages=(15, 40),
        n=207,
    ),
    "withers1987_female_athletes": Typed(
        female_athletes,
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.00597,
        see_unit="density",
        ages=(11, 41),
        n=182,
    ),
    "withers1987_female_17_35": Typed(
        female_17_35,
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.00568,
        see_unit="density",
        ages=(17, 35),
        n=135,
    ),
}
test_second_typing = double_entry(TYPED)
