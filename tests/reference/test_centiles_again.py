"""Centiles of US adults, worked out a second time from the survey's rows, without the code that learnt.

Here nobody is sorted: for every limit of the table the share of people below it is counted. In the years
it was learnt on that share is the centile; in the two years after it, people nobody learnt on, it is so
within the error of the sample.
"""

from __future__ import annotations

import csv
import gzip
import math
from collections import defaultdict
from functools import cache
from pathlib import Path

import pytest

from foldspan.quantities import SEXES, Sex
from foldspan.reference.centiles import CENTILES, DECADES, MEASURES, centiles_of

DATA = Path(__file__).parents[1] / "open_data"
# extract → the column of its weights
CYCLES = {"1999_2002": "survey_weight_4yr", "2003_2004": "survey_weight_2yr"}
# who has a body mass index below 25, 30, 40 or beyond, of 1000 adults (as published, see SHARES of
# tests/learning/learn_centiles.py): women 616 from 25 on, 332 from 30, 64 from 40; men 688, 276, 33
OF_1000 = {"F": (384, 284, 268, 64), "M": (312, 412, 243, 33)}
# a sample of households differs more from the next one than so many people drawn singly would
DESIGN = 2.0
# triceps folds of women were thicker in 2003-2004 than the sample explains (docs/pages.md)
WIDER = {("female", "triceps_mm"): 0.09}
WORDS = ("row", "cycle", "sex", "race")
Person = dict[str, float]


@cache
def people(years: str, sex: Sex) -> list[Person]:
    """Adults with weight and height, weighted so that classes of body mass index have their shares."""
    found, letter = [], sex[0].upper()
    with gzip.open(DATA / f"nhanes_{years}.csv.gz", "rt", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            person = {name: float(text) for name, text in row.items() if text and name not in WORDS}
            if (
                row["sex"] == letter
                and person["age"] >= 20
                and {"weight_kg", "height_cm"} <= set(person)
            ):
                person["bmi"] = person["weight_kg"] / (person["height_cm"] / 100.0) ** 2
                person["class"] = sum(person["bmi"] >= limit for limit in (25.0, 30.0, 40.0))
                found.append(person | {"counts_for": person[CYCLES[years]]})
    total = sum(person["counts_for"] for person in found)
    in_class: dict[float, float] = defaultdict(float)
    for person in found:
        in_class[person["class"]] += person["counts_for"]
    for person in found:
        share = OF_1000[letter][int(person["class"])] / 1000.0
        person["counts_for"] *= share * total / in_class[person["class"]]
    return found


def measured(years: str, sex: Sex, column: str) -> list[tuple[float, float, float]]:
    """Age, value and weight of everybody measured, who count for those of their age and class too."""
    all_of: dict[tuple[int, float], float] = defaultdict(float)
    there: dict[tuple[int, float], float] = defaultdict(float)
    for person in people(years, sex):
        cell = sum(person["age"] >= start for start in (40, 60)), person["class"]
        all_of[cell] += person["counts_for"]
        if column in person:
            there[cell] += person["counts_for"]
    found = []
    for person in people(years, sex):
        if column in person:
            cell = sum(person["age"] >= start for start in (40, 60)), person["class"]
            raised = person["counts_for"] * all_of[cell] / there[cell]
            found.append((person["age"], person[column], raised))
    return found


def shares_below(years: str, sex: Sex, name: str, start: int = 0) -> tuple[list[float], float]:
    """Shares below each centile of the table, half of those on it, and how many people that is worth.

    All ages, each held against the centiles of its own, or those of the decade that starts there.
    """
    column = {"waist_iliac_cm": "waist_iliac_crest_cm"}.get(name, name)
    below, total, squares = [0.0] * len(CENTILES), 0.0, 0.0
    for age, value, weight in measured(years, sex, column):
        if start and not (start <= age < start + 10 or age >= start == DECADES[-1]):
            continue
        limits = centiles_of(name, sex, age)
        assert limits is not None
        total, squares = total + weight, squares + weight**2
        for place, limit in enumerate(limits):
            below[place] += weight * ((value < limit) + 0.5 * (value == limit))
    return [share / total for share in below], total**2 / squares


@pytest.mark.parametrize("sex", SEXES)
def test_counted_again_each_share_is_its_centile(sex: Sex) -> None:
    """Within 0.6 points over all ages: centiles have one decimal, and many share a reading."""
    for name in MEASURES:
        shares, _ = shares_below("1999_2002", sex, name)
        for share, centile in zip(shares, CENTILES, strict=True):
            assert 100.0 * share == pytest.approx(centile, abs=0.6), (name, centile)
    for start in DECADES:  # and a cell by itself
        shares, _ = shares_below("1999_2002", sex, "triceps_mm", start)
        for share, centile in zip(shares, CENTILES, strict=True):
            assert 100.0 * share == pytest.approx(centile, abs=2.0), (start, centile)


@pytest.mark.parametrize("sex", SEXES)
def test_people_of_the_next_two_years_stand_where_the_table_says(sex: Sex) -> None:
    for name in MEASURES:
        shares, effective_people = shares_below("2003_2004", sex, name)
        for share, centile in zip(shares, CENTILES, strict=True):
            expected = centile / 100.0
            error = math.sqrt(DESIGN * expected * (1.0 - expected) / effective_people)
            most = WIDER.get((sex, name), 3.0 * error)
            assert share == pytest.approx(expected, abs=most), (name, centile)
