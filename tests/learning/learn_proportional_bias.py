"""Learn from a public survey how far each skinfold equation reads off by age and by what it gives.

Run by hand, not by the test suite; writes the table of ``reference/proportional_bias.py``::

    python tests/learning/learn_proportional_bias.py

People, weights and equations are those of ``learn_survey_errors.py``, as far as they read folds. The
error is described by a curve in age and one in the equation's own result, learnt together, each term
shrunk by its own error. The result is held within what 98 % of the people have. Once levelled, an
equation must still climb by three tenths of what it climbs as printed: where it would not, the curve is
fitted with that slope at its end.
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
from foldspan.estimation.evaluate import fat_percents
from foldspan.measurement.waist_conversion import bridge_waists
from foldspan.quantities import SEXES, Sex
from foldspan.reference.equation_errors import DECADE, MIDDLE_AGE, SURVEY_ERRORS
from foldspan.reference.proportional_bias import TEN_POINTS, ProportionalBias
from learning import learnt_tables
from learning.learn_survey_errors import SOUND, columns_of, fitted, reading_variance, shrunk
from open_data.open_tables import survey_of

LEAST_SLOPE = 0.3
# the outermost hundredth on either side says little of a curve, and its ends would swing by it
ENDS = (0.01, 0.99)


def curves(age: Array, given: Array, error: Array, weights: Array, ends: Array) -> Array:
    """Level, slope and bend by age, slope and bend by what is given: (5,)."""
    terms = np.column_stack([np.vander(age, 3, increasing=True), given, given**2])
    found = shrunk(*fitted(terms, error, weights))
    most = (1.0 - LEAST_SLOPE) * TEN_POINTS
    for end in ends:
        if found[3] + 2.0 * found[4] * end <= most:
            continue
        held = np.column_stack([terms[:, :3], given**2 - 2.0 * end * given])
        by_age, bend = np.split(fitted(held, error - most * given, weights)[0], [3])
        found = np.array([*by_age, most - 2.0 * end * bend[0], bend[0]])
    return found


def bias_of(
    card: Equation, people: pd.DataFrame, sex: Sex, columns: dict[str, Array]
) -> ProportionalBias:
    """How one equation reads off in one sex."""
    percent, move = fat_percents([card], columns, SIRI)[0][0], reference_shifts([card], "dxa")[0]
    fits = np.isfinite(percent) & (percent + move > SOUND[0]) & (percent + move < SOUND[1])
    percent = percent[fits]
    error = percent + move - people["dxa_fat_percent"].to_numpy(float)[fits]
    weights = people["survey_weight_4yr"].to_numpy(float)[fits]
    weights = weights / weights.mean()
    age = (columns["age_years"][fits] - MIDDLE_AGE) / DECADE
    middle, span = np.average(percent, weights=weights), np.quantile(percent, ENDS)
    given = (percent.clip(*span) - middle) / TEN_POINTS
    ends = (span - middle) / TEN_POINTS
    level, by_decade, age_bend, slope, bend = curves(age, given, error, weights, ends[::-1])
    rest = error - (level + age * (by_decade + age * age_bend) + given * (slope + given * bend))
    spread, _ = fitted(np.vander(age, 2, increasing=True), rest**2, weights)
    inside = (percent > span[0]) & (percent < span[1])
    levelled_slope = 1.0 - inside * (slope + 2.0 * bend * given) / TEN_POINTS
    reading = reading_variance(card, columns)[fits] * levelled_slope**2
    return ProportionalBias(
        (round(level, 2), round(by_decade, 3), round(age_bend, 4)),
        (round(slope, 2), round(bend, 2)),
        round(float(middle), 1),
        (round(float(span[0]), 1), round(float(span[1]), 1)),
        (round(spread[0], 2), round(spread[1], 3)),
        round(float(np.average(reading, weights=weights)), 2),
    )


def biases() -> dict[str, dict[Sex, ProportionalBias]]:
    """How every skinfold equation that the survey tried reads off, by sex."""
    survey = survey_of("1999_2002").dropna(subset=["weight_kg", "height_cm"])
    found: dict[str, dict[Sex, ProportionalBias]] = {}
    for sex in SEXES:
        people = survey[survey.sex == sex[0].upper()]
        columns = dict(bridge_waists(columns_of(people, sex), sex).columns)
        for card in EQUATIONS:
            if card.method == "skinfold" and sex in SURVEY_ERRORS.get(card.key, {}):
                found.setdefault(card.key, {})[sex] = bias_of(card, people, sex, columns)
    return found


def main() -> None:
    """Write the table."""
    lines = ["PROPORTIONAL_BIAS: dict[str, dict[Sex, ProportionalBias]] = {"]
    for key, by_sex in biases().items():
        lines.append(f'    "{key}": {{')
        lines += [
            f'        "{sex}": ProportionalBias('
            f"({errors.curve[0]:.2f}, {errors.curve[1]:.3f}, {errors.curve[2]:.4f}), "
            f"({errors.steep[0]:.2f}, {errors.steep[1]:.2f}), {errors.middle}, {errors.span}, "
            f"({errors.spread[0]:.2f}, {errors.spread[1]:.3f}), {errors.reading:.2f}),"
            for sex, errors in by_sex.items()
        ]
        lines.append("    },")
    learnt_tables.write("reference/proportional_bias", "PROPORTIONAL_BIAS", [*lines, "}"])


if __name__ == "__main__":
    main()
