"""Reference people with the usual sets of sites, and how often they are told that methods disagree."""

from __future__ import annotations

from functools import cache

import numpy as np

from foldspan.catalogue.card import Array, Bmi
from foldspan.estimation import usual_gaps
from foldspan.estimation.batch import People
from foldspan.estimation.families.combine import verdicts
from foldspan.estimation.pipeline import Reconciled, reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.measurement.accepted_values import accept_column
from foldspan.quantities import BY_NAME, MEASURED, WAISTS, Sex

SIZE = ("weight_kg", "height_cm")
SETS: dict[str, tuple[str, ...]] = {
    "everything": MEASURED,
    "seven skinfolds": (
        *("chest_mm", "midaxillary_mm", "triceps_mm", "subscapular_mm", "abdominal_mm"),
        *("suprailiac_anterior_mm", "thigh_mm", "waist_narrowest_cm", *SIZE),
    ),
    "four skinfolds": (
        *("biceps_mm", "triceps_mm", "subscapular_mm", "suprailiac_midaxillary_mm"),
        *("waist_midpoint_cm", *SIZE),
    ),
    "tape": (
        *("neck_cm", "waist_narrowest_cm", "waist_iliac_cm", "hip_cm", "abdomen_navel_cm", *SIZE),
    ),
    "waist": ("waist_midpoint_cm", *SIZE),
    "two skinfolds": ("triceps_mm", "subscapular_mm", "waist_iliac_cm", *SIZE),
}


@cache
def usual_bodies(sex: Sex) -> tuple[dict[str, Array], Array]:
    """Columns of the reference people who are looked at, and their body mass index [kg/m²]."""
    people = usual_gaps.usual_bodies(sex)
    return people, Bmi().of(people)


@cache
def answered(
    sex: Sex, measured: str, settings: Settings, shift: float = 0.0, shifted: str = "folds"
) -> Reconciled:
    """Reference people with a set of sites; all folds or waists read larger by a share if given."""
    people, bmi = usual_bodies(sex)
    columns: dict[str, Array] = {name: np.full(bmi.size, np.nan) for name in BY_NAME}
    for name, values in people.items():
        if name in SETS[measured] or name == "age_years" or name.startswith("is_"):
            is_off = name in WAISTS if shifted == "waists" else name.endswith("_mm")
            columns[name] = values * (1.0 + shift) if is_off else values
    errors = {
        name: accept_column(name, [columns[name]], np.zeros(bmi.size, dtype=bool)).se
        for name in SETS[measured]
        if name in people
    }
    whole = People(sex, columns, errors, np.full(bmi.size, "", dtype=object))
    return reconcile_people(settings.cards_for(sex), whole, settings, every=False)


def is_strained(answer: Reconciled) -> Array:
    """Who is told that methods are strained or disagree, (N,)."""
    return verdicts(answer.combined.q, answer.combined.dof) != "agree"
