"""Crowds: thousands of people of every kind that a table can hold, and what is said of some of them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from foldspan.catalogue import conversion_by_key
from foldspan.estimation.applicability import ANCESTRY_INDICATORS, LEAVES_OUT
from foldspan.estimation.batch import People
from foldspan.estimation.local_correction import LocalCorrection, SiteOffsets
from foldspan.estimation.pipeline import Reconciled
from foldspan.estimation.settings import Settings
from foldspan.intake.as_arrays import SelfReported
from foldspan.interpretation.indices import indices_of
from foldspan.interpretation.measured import Measured
from foldspan.interpretation.referral import chances_of
from foldspan.quantities import ANCESTRIES, MEASURED, SEXES, Sex
from foldspan.reference.population import PEOPLE, reference_people
from foldspan.standards.backgrounds import BACKGROUNDS

MANY = 8192
SOME_MISSING = {"everything": 0.0, "a third missing": 0.33, "most missing": 0.8}
COMBINED = ("estimate", "se", "weights", "variance_within", "q", "dof", "inflation")
OFFSETS = SiteOffsets(
    60, ("girth", "mass_height"), (1.0, -2.0), ((1.0, 0.2), (0.2, 1.2)), (1.1, 0.9)
)
SETTINGS = {
    "density": Settings(),
    "dxa": Settings(reference_method="dxa", with_disputed=True),
    "another conversion": Settings(conversion=conversion_by_key("brozek1963")),
    "local": Settings(local=LocalCorrection("density", 60, dict.fromkeys(SEXES, OFFSETS))),
}
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


def numbers_of(people: People, answer: Reconciled) -> dict[str, np.ndarray]:
    """Everything that is said of the people, an array each with the people last."""
    found = {name: getattr(answer.combined, name) for name in COMBINED}
    found |= {"families": answer.families}
    if not np.isnan(answer.weights).all():  # a table keeps none
        found |= {"card weights": answer.weights}
    found |= {"covariance": answer.covariance.transpose(1, 2, 0)}
    found |= {name: block.transpose(1, 2, 0) for name, block in answer.blocks.items()}
    found["left out"] = (answer.flags & int(LEAVES_OUT)) != 0
    backgrounds = np.array([f"{len(word)}" for word in people.ancestry], dtype=object)
    for place, word in enumerate(BACKGROUNDS):
        backgrounds[backgrounds == f"{place + 2}"] = word
    fat = {"density": Measured(answer.combined.estimate, answer.combined.se)}
    indices = indices_of(people.sex, people.columns, people.reading_se, backgrounds, fat)
    strong = people.columns["is_athlete"] > 0
    return found | chances_of(indices, SelfReported(strong.size), is_strong=strong)
