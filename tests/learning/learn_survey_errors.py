"""Learn from a public survey how far each equation scatters, and how fat goes with body size.

Run by hand, not by the test suite; prints the tables of ``survey_errors.py``::

    python tests/learning/learn_survey_errors.py SURVEY.csv

SURVEY.csv is described in ``learn_reference_people.py``; here its column dxa_fat_percent is used too.
Rows of people under 18 are left out. An equation is evaluated where all it needs was measured, or a
waist at another level can stand in; it needs 500 people of a sex.
"""

from __future__ import annotations

import sys

import numpy as np
import pandas as pd

from foldspan.catalogue import SIRI
from foldspan.evaluate import fat_percents
from foldspan.quantities import BY_NAME, SEXES
from foldspan.reconciliation import bridge_waists, cards_for
from foldspan.reference_people import indicators

COLUMNS = {
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
ANCESTRY = {
    "NHBlack": "is_black",
    "MexAm": "is_mexican_american",
    "OtherHisp": "is_hispanic",
    "OtherMulti": "is_other_ancestry",
}
LEAST_PEOPLE = 500
LEAN, LARGE = (18.5, 25.0), (30.0, 40.0)


def columns_of(people: pd.DataFrame, sex: str) -> dict[str, np.ndarray]:
    """Every quantity and indicator as arrays."""
    columns = {name: np.full(len(people), np.nan) for name in BY_NAME}
    columns |= {name: people[given].to_numpy(float) for given, name in COLUMNS.items()}
    columns |= {name: mark.copy() for name, mark in indicators(sex, len(people)).items()}
    for word, name in ANCESTRY.items():
        columns[name] = (people["race"] == word).to_numpy(float)
    return columns


def slope(bmi: np.ndarray, fat: np.ndarray, span: tuple[float, float]) -> float:
    """Points of fat per unit of body mass index inside a span."""
    inside = (bmi >= span[0]) & (bmi < span[1])
    return float(np.polyfit(bmi[inside], fat[inside], 1)[0])


def main(path: str) -> None:
    """Print slopes and the spread of every equation's error, by sex."""
    survey = pd.read_csv(path)
    survey = survey[survey.age >= 18].dropna(subset=["weight_kg", "height_cm"])
    learnt: dict[str, dict[str, float]] = {}
    for sex in SEXES:
        people = survey[survey.sex == sex[0].upper()]
        fat = people["dxa_fat_percent"].to_numpy(float)
        bmi = (people["weight_kg"] / (people["height_cm"] / 100.0) ** 2).to_numpy(float)
        lean, large = slope(bmi, fat, LEAN), slope(bmi, fat, LARGE)
        print(f'    "{sex}": ({lean:.2f}, {large:.2f}),  # {len(people)} adults')
        cards = [card for card in cards_for(sex) if card.audience != "youth"]
        columns = bridge_waists(columns_of(people, sex), sex).columns
        percent, _ = fat_percents(cards, columns, SIRI)
        for card, estimate in zip(cards, percent, strict=True):
            error = (estimate - fat)[np.isfinite(estimate)]
            if error.size >= LEAST_PEOPLE:
                learnt.setdefault(card.key, {})[sex] = float(error.std(ddof=1))
    for key, spread in learnt.items():
        both = ", ".join(f'"{sex}": {sd:.2f}' for sex, sd in spread.items())
        print(f'    "{key}": {{{both}}},')


if __name__ == "__main__":
    main(sys.argv[1])
