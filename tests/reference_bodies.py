"""Usual people with the usual sets of sites, and how often they are told that methods disagree.

They are drawn as the reference people are, but they are others than those from whom the program reads
off what is usual, and from every class of body mass index come as many: of lean and of large bodies
there would be too few.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from foldspan.catalogue.card import Array, Bmi, BoolArray
from foldspan.estimation.batch import People
from foldspan.estimation.families.combine import verdicts
from foldspan.estimation.pipeline import Reconciled, reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.estimation.usual_terms import adults
from foldspan.measurement.accepted_values import accept_column
from foldspan.quantities import BY_NAME, MEASURED, WAISTS, Sex
from foldspan.reference.population import dimensions, people_of

SIZE = ("weight_kg", "height_cm")
SEVEN = (
    *("chest_mm", "midaxillary_mm", "triceps_mm", "subscapular_mm", "abdominal_mm"),
    *("suprailiac_anterior_mm", "thigh_mm"),
)
TAPE = ("neck_cm", "waist_narrowest_cm", "waist_iliac_cm", "hip_cm", "abdomen_navel_cm")
SETS: dict[str, tuple[str, ...]] = {
    "everything": MEASURED,
    "seven skinfolds": (*SEVEN, "waist_narrowest_cm", *SIZE),
    "seven skinfolds, girths": (*SEVEN, *TAPE, "arm_relaxed_girth_cm", "calf_girth_cm", *SIZE),
    "four skinfolds": (
        *("biceps_mm", "triceps_mm", "subscapular_mm", "suprailiac_midaxillary_mm"),
        *("waist_midpoint_cm", *SIZE),
    ),
    "tape": (*TAPE, *SIZE),
    "waist": ("waist_midpoint_cm", *SIZE),
    "two skinfolds": ("triceps_mm", "subscapular_mm", "waist_iliac_cm", *SIZE),
    "two skinfolds, no waist": ("triceps_mm", "subscapular_mm", *SIZE),
}
# where the narrowest waist alone was read, few women have two methods with underwater weighing
NARROWEST = {"narrowest waist": ("waist_narrowest_cm", *SIZE)}
# classes of body mass index [kg/m²], and how many of each are drawn from
CLASSES = (17.0, 22.0, 25.0, 30.0, 35.0, 45.0)
DRAWN, MANY, SEED = 120_000, 4000, 20261130
A_CLASS = 1000
"""How many a class are looked at where nothing else is said."""


@cache
def drawn(sex: Sex) -> tuple[dict[str, Array], Array, Array]:
    """Columns of ``MANY`` people a class, the class of each, and the share of every class."""
    normals = np.random.default_rng(SEED).standard_normal((DRAWN, dimensions(sex)))
    people = adults(people_of(sex, normals))
    of_class = np.digitize(Bmi().of(people), CLASSES) - 1
    rows = np.concatenate(
        [np.flatnonzero(of_class == number)[:MANY] for number in range(len(CLASSES) - 1)]
    )
    shares = np.bincount(of_class) / of_class.size
    return {name: column[rows] for name, column in people.items()}, of_class[rows], shares


@cache
def reference_bodies(sex: Sex, a_class: int = A_CLASS) -> tuple[dict[str, Array], Array]:
    """Columns of the people who are looked at, as many a class, and the class of each."""
    people, of_class, _ = drawn(sex)
    rows = np.concatenate(
        [np.flatnonzero(of_class == number)[:a_class] for number in range(len(CLASSES) - 1)]
    )
    return {name: column[rows] for name, column in people.items()}, of_class[rows]


@cache
def answered(
    sex: Sex,
    measured: str,
    settings: Settings,
    shift: float = 0.0,
    shifted: str = "folds",
    a_class: int = A_CLASS,
) -> Reconciled:
    """Usual people with a set of sites; all folds or waists read larger by a share if given."""
    people, of_class = reference_bodies(sex, a_class)
    columns: dict[str, Array] = {name: np.full(of_class.size, np.nan) for name in BY_NAME}
    for name, values in people.items():
        if name in (SETS | NARROWEST)[measured] or name == "age_years" or name.startswith("is_"):
            is_off = name in WAISTS if shifted == "waists" else name.endswith("_mm")
            columns[name] = values * (1.0 + shift) if is_off else values
    errors = {
        name: accept_column(name, [columns[name]], np.zeros(of_class.size, dtype=bool)).se
        for name in (SETS | NARROWEST)[measured]
        if name in people
    }
    whole = People(sex, columns, errors, np.full(of_class.size, "", dtype=object))
    return reconcile_people(settings.cards_for(sex), whole, settings, every=False)


def is_strained(answer: Reconciled) -> BoolArray:
    """Who is told that methods are strained or disagree, (N,)."""
    return np.asarray(
        np.isin(verdicts(answer.combined.q, answer.combined.dof), ("strained", "disagree"))
    )


def by_class(is_flagged: BoolArray) -> list[BoolArray]:
    """Who is told, in each class of body mass index: as many people in each."""
    return np.split(is_flagged, len(CLASSES) - 1)


def share_flagged(sex: Sex, is_flagged: BoolArray) -> float:
    """Share of all people who are told, each class counting as it is found."""
    return float(drawn(sex)[2] @ [here.mean() for here in by_class(is_flagged)])
