"""Learn from a public survey how far each equation reads off, how it scatters, and fat by body size.

Run by hand, not by the test suite; writes the tables of ``reference/equation_errors.py``::

    python tests/learning/learn_survey_errors.py

Everything it reads stands beside the tests: ``open_data/nhanes_1999_2002.csv.gz``. Adults only, each
counted with the survey's own weight. An equation is evaluated where all it needs was measured, or a
waist at another level can stand in; it needs 500 people of a sex. Its error [points of DXA fat] is
described by a curve in age (level, slope, bend), each term shrunk by its own error, and by a straight
line in age for the variance around it.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pandas as pd

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan.catalogue import EQUATIONS, SIRI
from foldspan.catalogue.card import Array, Equation
from foldspan.estimation.error_model import reference_shifts
from foldspan.estimation.evaluate import fat_percents, gradients
from foldspan.measurement.accepted_values import accept_column
from foldspan.measurement.waist_conversion import bridge_waists
from foldspan.quantities import BY_NAME, SEXES, Sex
from foldspan.reference.equation_errors import DECADE, MIDDLE_AGE
from foldspan.reference.population import indicators
from learning import learnt_tables
from open_data.open_tables import survey_of

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
SOUND = (-5.0, 95.0)


def columns_of(people: pd.DataFrame, sex: Sex) -> dict[str, Array]:
    """Every quantity and indicator as arrays."""
    columns = {name: np.full(len(people), np.nan) for name in BY_NAME}
    columns |= {name: people[given].to_numpy(float) for given, name in COLUMNS.items()}
    columns |= {name: mark.copy() for name, mark in indicators(sex, len(people)).items()}
    for word, name in ANCESTRY.items():
        columns[name] = (people["race"] == word).to_numpy(float)
    return columns


def slope(bmi: Array, fat: Array, span: tuple[float, float]) -> float:
    """Points of fat per unit of body mass index inside a span."""
    inside = (bmi >= span[0]) & (bmi < span[1])
    return float(np.polyfit(bmi[inside], fat[inside], 1)[0])


def fitted(terms: Array, y: Array, weights: Array) -> tuple[Array, Array]:
    """Weighted least squares: coefficients, and each one's standard error (sandwich)."""
    root = np.sqrt(weights)[:, None]
    inverse = np.linalg.inv((terms * root).T @ (terms * root))
    found = inverse @ (terms.T @ (weights * y))
    meat = terms * (weights * (y - terms @ found))[:, None]
    return found, np.sqrt(np.diag(inverse @ (meat.T @ meat) @ inverse))


def shrunk(found: Array, se: Array) -> Array:
    """Coefficients shrunk by their own error, nothing left of one that may be measurement error."""
    return found * np.maximum(0.0, 1.0 - (se / found) ** 2)


def reading_variance(card: Equation, columns: dict[str, Array]) -> Array:
    """What one trained reading of every input makes of the percentage [points²]."""
    slopes: dict[str, Array] = {}
    for name, slope in gradients(card, columns, SIRI):
        slopes[name] = slopes.get(name, 0.0) + slope
    nobody = np.zeros(len(columns["weight_kg"]), dtype=bool)
    total = np.zeros(nobody.size)
    for name, slope in slopes.items():
        total += np.nan_to_num(slope * accept_column(name, [columns[name]], nobody).se) ** 2
    return total


def line_of(card: Equation, people: pd.DataFrame, sex: Sex, columns: dict[str, Array]) -> str:
    """The line of one equation for one sex, "" where too few people have what it needs."""
    percent = fat_percents([card], columns, SIRI)[0][0] + reference_shifts([card], "dxa")[0]
    fits = np.isfinite(percent) & (percent > SOUND[0]) & (percent < SOUND[1])
    if fits.sum() < LEAST_PEOPLE:
        return ""
    error = (percent - people["dxa_fat_percent"].to_numpy(float))[fits]
    weights = people["survey_weight_4yr"].to_numpy(float)[fits]
    weights = weights / weights.mean()
    age = (columns["age_years"][fits] - MIDDLE_AGE) / DECADE
    curve, curve_se = fitted(np.vander(age, 3, increasing=True), error, weights)
    rest = error - np.vander(age, 3, increasing=True) @ curve
    spread, _ = fitted(np.vander(age, 2, increasing=True), rest**2, weights)
    reading = float(np.average(reading_variance(card, columns)[fits], weights=weights))
    mean = np.average(error, weights=weights)
    scatter = float(np.sqrt(np.average((error - mean) ** 2, weights=weights)))
    level, by_decade, bend = shrunk(curve, curve_se)
    return (
        f'        "{sex}": SurveyError('
        f"({level:.2f}, {by_decade:.3f}, {bend:.4f}), ({spread[0]:.2f}, {spread[1]:.3f}),"
        f" {reading:.2f}, {scatter:.2f}, {fits.sum()}),"
    )


def main() -> None:
    """Write slopes and every equation's curve and scatter, by sex."""
    survey = survey_of("1999_2002").dropna(subset=["weight_kg", "height_cm"])
    slopes: list[str] = []
    lines: dict[str, list[str]] = {}
    for sex in SEXES:
        people = survey[survey.sex == sex[0].upper()]
        fat = people["dxa_fat_percent"].to_numpy(float)
        bmi = (people["weight_kg"] / (people["height_cm"] / 100.0) ** 2).to_numpy(float)
        lean, large = slope(bmi, fat, LEAN), slope(bmi, fat, LARGE)
        slopes.append(f'    "{sex}": ({lean:.2f}, {large:.2f}),')
        columns = dict(bridge_waists(columns_of(people, sex), sex).columns)
        # those on request too: the rule that keeps them out reads what is learnt here
        cards = [
            equation
            for equation in EQUATIONS
            if equation.sex in (sex, "both")
            and equation.audience not in ("youth", "athlete", "obese")
        ]
        for card in cards:
            line = line_of(card, people, sex, columns)
            if line:
                lines.setdefault(card.key, []).append(line)
    seen = ["SURVEY_ERRORS: dict[str, dict[Sex, SurveyError]] = {"]
    for key, some in lines.items():
        seen += [f'    "{key}": {{', *some, "    },"]
    module = "reference/equation_errors"
    learnt_tables.write(module, "SLOPE_WITH_SIZE", ["SLOPE_WITH_SIZE = {", *slopes, "}"])
    learnt_tables.write(module, "SURVEY_ERRORS", [*seen, "}"])


if __name__ == "__main__":
    main()
