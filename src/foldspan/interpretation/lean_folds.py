"""Lean folds: the sum of seven folds that is known of athletes, from those that were taken."""

from __future__ import annotations

import numpy as np

from foldspan.interpretation.indices import Indices
from foldspan.interpretation.measured import Measured
from foldspan.quantities import Sex

# Mean of each fold in the reference people [mm], women and men: what share of the sum it makes.
SEVEN: dict[str, dict[Sex, float]] = {
    "triceps_mm": {"female": 24.0, "male": 13.4},
    "biceps_mm": {"female": 10.0, "male": 6.5},
    "subscapular_mm": {"female": 22.2, "male": 18.8},
    "supraspinale_mm": {"female": 14.0, "male": 12.0},
    "abdominal_mm": {"female": 25.0, "male": 26.0},
    "thigh_mm": {"female": 30.0, "male": 19.0},
    "calf_mm": {"female": 19.0, "male": 11.0},
}
# So many of the seven must have been taken (ours).
LEAST_FOLDS = 3
# Relative error of a sum filled up from a share of it, where the folds taken make half of it: .07 in
# the reference people, in lean ones too; .10 because bodies are odder than they are (ours).
FILLED_UP = 0.10


def sum_of_seven(indices: Indices) -> Measured:
    """Return the sum of triceps, biceps, subscapular, supraspinale, abdominal, thigh and calf [mm].

    Folds that were not taken are filled up in proportion, with an error that grows with what is missing;
    NaN where fewer than three were taken or the sex is not known.
    """
    total, share, whole = np.zeros(indices.count), np.zeros(indices.count), 0.0
    variance, taken = np.zeros(indices.count), np.zeros(indices.count)
    for name, means in SEVEN.items():
        if not indices.sex:
            break
        fold = indices.measured(name)
        here = np.isfinite(fold.value)
        total = total + np.where(here, fold.value, 0.0)
        variance = variance + np.where(here, np.square(np.fmax(fold.se, 0.0)), 0.0)
        share = share + np.where(here, means[indices.sex], 0.0)
        taken = taken + here
        whole += means[indices.sex]
    enough = taken >= LEAST_FOLDS
    with np.errstate(divide="ignore", invalid="ignore"):
        up = np.where(enough, whole / share, np.nan)
        filled = np.where(taken == len(SEVEN), 0.0, FILLED_UP * np.sqrt(np.fmax(up - 1.0, 0.0)))
        value = total * up
        return Measured(value, np.hypot(np.sqrt(variance) * up, filled * value))
