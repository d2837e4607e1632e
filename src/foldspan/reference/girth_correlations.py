"""Girth correlations: which girths and breadths run large together in one body of a given size.

Correlations of what is left of each log girth once weight, height and the girth at the navel are
known: a strong arm comes with a strong forearm, a wide hip with a wide thigh. Learnt on the open data
of Heinz, Peterson, Johnson & Kerk (2003), 260 women and 247 men, by
``python tests/learning/learn_girth_build.py``. Breadths are half the printed sum of both sides.
"""

from __future__ import annotations

CORRELATED = (
    "waist_narrowest_cm",
    "chest_girth_cm",
    "hip_cm",
    "thigh_upper_girth_cm",
    "knee_girth_cm",
    "ankle_girth_cm",
    "arm_flexed_girth_cm",
    "forearm_girth_cm",
    "wrist_girth_cm",
    "elbow_breadth_cm",
    "knee_breadth_cm",
    "wrist_breadth_cm",
    "calf_girth_cm",
)
# below the diagonal, in the order of CORRELATED
CORRELATION_BELOW: dict[str, tuple[tuple[float, ...], ...]] = {
    "female": (
        (0.33,),
        (-0.10, -0.30),
        (-0.20, -0.32, 0.57),
        (-0.25, -0.23, 0.09, 0.17),
        (-0.21, -0.09, 0.02, -0.00, 0.34),
        (0.01, 0.27, -0.10, 0.01, 0.06, 0.09),
        (-0.12, 0.22, -0.07, -0.07, 0.17, 0.21, 0.59),
        (-0.12, 0.19, -0.05, -0.15, 0.24, 0.34, 0.36, 0.57),
        (-0.22, 0.18, -0.06, -0.22, 0.09, 0.11, 0.15, 0.38, 0.36),
        (-0.20, -0.15, 0.09, 0.01, 0.34, 0.14, 0.06, 0.20, 0.29, 0.34),
        (-0.21, 0.14, -0.03, -0.18, 0.17, 0.29, 0.18, 0.35, 0.58, 0.48, 0.29),
        (-0.31, -0.25, -0.03, 0.11, 0.35, 0.45, 0.09, 0.18, 0.15, 0.07, 0.23, 0.11),
    ),
    "male": (
        (-0.00,),
        (0.00, -0.24),
        (-0.25, -0.17, 0.41),
        (-0.04, -0.29, 0.21, 0.24),
        (-0.12, -0.07, 0.07, 0.09, 0.43),
        (-0.33, 0.49, -0.15, 0.13, -0.21, -0.01),
        (-0.37, 0.34, -0.20, 0.02, 0.00, 0.14, 0.71),
        (-0.20, 0.21, -0.12, -0.16, 0.12, 0.42, 0.36, 0.52),
        (-0.29, 0.17, -0.08, -0.09, 0.01, 0.17, 0.30, 0.39, 0.36),
        (-0.19, -0.18, 0.13, 0.03, 0.32, 0.21, -0.09, 0.01, 0.23, 0.26),
        (0.02, 0.15, -0.10, -0.23, -0.01, 0.08, 0.14, 0.22, 0.45, 0.40, 0.25),
        (-0.06, -0.26, 0.17, 0.28, 0.46, 0.50, -0.15, 0.02, 0.22, 0.07, 0.21, 0.06),
    ),
}
# Assumed, no open data found: the same limb at another level or state, and the neck.
ASSUMED_PAIRS = (
    ("arm_relaxed_girth_cm", "arm_flexed_girth_cm", 0.80),
    ("arm_relaxed_girth_cm", "forearm_girth_cm", 0.50),
    ("arm_relaxed_girth_cm", "wrist_girth_cm", 0.30),
    ("thigh_mid_girth_cm", "thigh_upper_girth_cm", 0.60),
    ("breast_girth_cm", "arm_flexed_girth_cm", 0.20),
    ("neck_cm", "chest_girth_cm", 0.30),
    ("neck_cm", "arm_flexed_girth_cm", 0.35),
    ("neck_cm", "arm_relaxed_girth_cm", 0.30),
    ("neck_cm", "forearm_girth_cm", 0.35),
    ("neck_cm", "wrist_girth_cm", 0.30),
)


def pairs(sex: str) -> tuple[tuple[str, str, float], ...]:
    """Return every pair of girths with the correlation of what is left of them."""
    estimated = tuple(
        (CORRELATED[row], CORRELATED[column], value)
        for row, values in enumerate(CORRELATION_BELOW[sex], start=1)
        for column, value in enumerate(values)
    )
    return estimated + ASSUMED_PAIRS
