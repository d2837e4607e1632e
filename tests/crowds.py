"""Crowds: thousands of people of every kind that a table can hold, and some of them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from foldspan.estimation.applicability import ANCESTRY_INDICATORS
from foldspan.estimation.batch import People
from foldspan.quantities import ANCESTRIES, MEASURED, Sex
from foldspan.reference.population import PEOPLE, reference_people

MANY = 8192
SOME_MISSING = {"everything": 0.0, "a third missing": 0.33, "most missing": 0.8}
ENDED = ("triceps_mm", "thigh_mm", "abdominal_mm", "waist_iliac_cm")


@cache
def crowd(sex: Sex, missing: float, *, variants: bool = False) -> People:
    """Thousands of people of every kind that a table can hold, each with gaps of their own."""
    rng = np.random.default_rng(20261126)
    drawn = rng.integers(0, PEOPLE, MANY)
    columns = {name: values[drawn] for name, values in reference_people(sex).items()}
    for name in MEASURED:
        columns[name] = columns[name] * np.exp(rng.normal(0.0, 0.1, MANY))
        columns[name][rng.random(MANY) < missing] = np.nan
    ancestry = rng.choice(np.array(["", "", *ANCESTRIES], dtype=object), MANY)
    for word, name in ANCESTRY_INDICATORS.items():
        columns[name] = np.where(ancestry == word, 1.0, columns[name])
    columns["is_athlete"] = (rng.random(MANY) < 0.1).astype(float)
    errors = {name: np.maximum(0.2, 0.02 * columns[name]) for name in MEASURED}
    ended = {name: rng.random(MANY) < 0.05 for name in ENDED}
    sites = {"triceps_mm": "another", "chest_mm": "third", "thigh_mm": "seated"}
    return People(sex, columns, errors, ancestry, ended, sites if variants else {})


def some_of(people: People, rows: np.ndarray) -> People:
    return replace(
        people,
        columns={name: column[rows] for name, column in people.columns.items()},
        reading_se={name: error[rows] for name, error in people.reading_se.items()},
        ancestry=people.ancestry[rows],
        at_least={name: mark[rows] for name, mark in people.at_least.items()},
    )
