"""Learn the centiles of body measures in US adults and write them into ``reference/centiles.py``.

Run by hand, not by the test suite::

    python tests/learning/learn_centiles.py

Read from tests/open_data/nhanes_1999_2002.csv.gz with the survey's own weights, by sex and decade.
Who stands in it had a whole-body scan, and large people often had none: the weights are raised so that
classes of body mass index have the shares that the whole survey found (``SHARES``). Where a fold is
missing, people of the same sex, age and class that have one count for it.
"""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan.quantities import SEXES, Sex
from foldspan.reference.centiles import CENTILES, DECADES, MEASURES
from learning import learnt_tables

EXTRACT = Path(__file__).parents[1] / "open_data" / "nhanes_1999_2002.csv.gz"
COLUMNS = {
    "weight_kg": "weight_kg",
    "height_cm": "height_cm",
    "bmi": "bmi",
    "triceps_mm": "triceps_mm",
    "subscapular_mm": "subscapular_mm",
    "waist_iliac_cm": "waist_iliac_crest_cm",
    "thigh_mid_girth_cm": "thigh_mid_girth_cm",
    "calf_girth_cm": "calf_girth_cm",
    "arm_relaxed_girth_cm": "arm_relaxed_girth_cm",
}
LIMITS = (0.0, 25.0, 30.0, 40.0, np.inf)
# Share of adults of 20 and over by class of body mass index, 1999-2002 (Hedley 2004, JAMA 291:2847-2850,
# not verified in print: 25 and over 68.8% of men and 61.6% of women, 30 and over 27.6% and 33.2%, 40 and
# over 3.3% and 6.4%).
SHARES: dict[Sex, tuple[float, ...]] = {
    "female": (0.384, 0.284, 0.268, 0.064),
    "male": (0.312, 0.412, 0.243, 0.033),
}
AGE_GROUPS = (20, 40, 60, 200)


@cache
def adults() -> pd.DataFrame:
    """People of 20 and over with decade, class and weight, so that each class has its share."""
    people = pd.read_csv(EXTRACT)
    people = people[people.age >= DECADES[0]].reset_index(drop=True)
    people["bmi"] = people.weight_kg / (people.height_cm / 100.0) ** 2
    people = people.dropna(subset=["bmi"]).reset_index(drop=True)
    people["decade"] = np.minimum(people.age // 10 * 10, DECADES[-1]).astype(int)
    people["size"] = np.digitize(people.bmi, LIMITS[1:-1])
    people["group"] = np.digitize(people.age, AGE_GROUPS[1:-1])
    people["weight"] = people.survey_weight_4yr
    for sex in SEXES:
        rows = people.sex == sex[0].upper()
        total = people.weight[rows].sum()
        for size, share in enumerate(SHARES[sex]):
            those = rows & (people["size"] == size)
            people.loc[those, "weight"] *= share * total / people.weight[those].sum()
    return people


def weights_of(people: pd.DataFrame, column: str) -> pd.Series:
    """Weights of those in whom a measure was taken, raised to stand for those in whom it was not."""
    there = people.weight.where(people[column].notna(), 0.0)
    cells = [people[name] for name in ("sex", "group", "size")]
    return (
        there
        * people.weight.groupby(cells).transform("sum")
        / there.groupby(cells).transform("sum")
    )


def weighted_centiles(values: np.ndarray, weights: np.ndarray) -> np.ndarray:
    """Return the centiles: each value stands in the middle of its own weight."""
    order = np.argsort(values, kind="stable")
    values, weights = values[order], weights[order]
    reached = (np.cumsum(weights) - 0.5 * weights) / weights.sum()
    return np.interp(np.array(CENTILES) / 100.0, reached, values)


def table_of(sex: Sex, name: str) -> list[tuple[int, tuple[float, ...]]]:
    """Return for each decade how many were measured, and their centiles to a tenth."""
    people, column = adults(), COLUMNS[name]
    own = weights_of(people, column)
    found = []
    for decade in DECADES:
        rows = (people.sex == sex[0].upper()) & (people.decade == decade) & people[column].notna()
        those = people[rows]
        cut = weighted_centiles(those[column].to_numpy(), own[rows].to_numpy())
        found.append((len(those), tuple(float(value) for value in np.round(cut, 1))))
    return found


def main() -> None:
    """Write the table."""
    lines = ["TABLE: dict[Sex, dict[str, tuple[Row, ...]]] = {"]
    for sex in SEXES:
        lines.append(f'    "{sex}": {{')
        lines += [f'        "{name}": {tuple(table_of(sex, name))},' for name in MEASURES]
        lines.append("    },")
    learnt_tables.write("reference/centiles", "centiles of US adults", [*lines, "}"])


if __name__ == "__main__":
    main()
