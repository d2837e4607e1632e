"""Build signs: what a build shows that makes methods read differently, seen from measurements alone.

Three signs, each in standard deviations from what is usual at this size:

* muscle: lean limb girths (girth less its fold: arm and calf, thigh; forearm as it is) against what
  weight, height and age predict. Weight for height cannot tell muscle from fat (Gurney & Jelliffe
  1973 for the corrected arm; Martin 1990 and Lee 2000 use the same correction). The limbs alone call
  it out; its size takes in the fat-free mass index by the methods that do not go by weight for height
  (VanItallie 1990), where that points the same way;
* belly: the waist against what the folds, height and age predict, where it stands out on the same side
  for weight and height too: a broad trunk of muscle is no belly. Folds do not see fat inside the belly;
* trunk: folds of the trunk against the folds of the limbs. Equations that look at one place only
  take it for the whole.

Usual bodies are those of ``reference.body_dimensions``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.numerics.ordered_sums import inner, least_squares, product
from foldspan.quantities import WAISTS, Sex
from foldspan.reference.body_dimensions import simulated_people

Columns = Mapping[str, Array]
# a column, or what is worked out from some: its kind and their names
Measure: TypeAlias = tuple[str, ...]
AGE: Measure = ("age_years",)
WEIGHT: Measure = ("mean of logs", "weight_kg")
HEIGHT: Measure = ("mean of logs", "height_cm")
AGE_AND_SIZE = (AGE, WEIGHT, HEIGHT)

TRUNK_FOLDS = (
    "chest_mm",
    "midaxillary_mm",
    "subscapular_mm",
    "abdominal_mm",
    "suprailiac_anterior_mm",
    "suprailiac_midaxillary_mm",
    "supraspinale_mm",
)
LIMB_FOLDS = ("triceps_mm", "biceps_mm", "thigh_mm", "calf_mm")
# girth and the fold that is taken off it; the first of a limb that was measured stands for it
LEAN_LIMBS = (
    (("arm_relaxed_girth_cm", "triceps_mm"), ("arm_flexed_girth_cm", "triceps_mm")),
    (("forearm_girth_cm", ""),),
    (("calf_girth_cm", "calf_mm"),),
    (("thigh_mid_girth_cm", "thigh_mm"),),
)
# The correction assumes a round limb with an even coat of fat: not held in large bodies (Heymsfield
# 1982; Lee 2000 for a body mass index below 30). The limit is ours: strong builds pass 30.
MUSCLE_BMI = 35.0
# A sign is called out from this many standard deviations on, on either side (about 1 usual body in 22).
CALLED_OUT = 2.0


@dataclass(frozen=True, slots=True)
class Sign:
    """One sign of one client.

    ``z`` is how far it stands out, in standard deviations; ``size`` what its points are calculated
    from, likewise, and ``usual`` the same for the simulated population (P,); ``about`` names what it
    was read off.
    """

    name: str
    z: float
    size: float
    usual: Array
    about: tuple[str, ...]

    @property
    def is_notable(self) -> bool:
        """Whether it is unusual enough to be named as a reason."""
        return abs(self.z) >= CALLED_OUT


def lean_girth(girth: Array, fold: Array | float) -> Array:
    """Girth [cm] less the fold [mm] that lies around it: ``girth - pi fold / 10`` [cm].

    Gurney & Jelliffe (1973); assumes a round limb and even fat.
    """
    return np.asarray(girth - np.pi * fold / 10.0)


def fat_free_mass_index(fat_percent: float, weight: float, height: float) -> float:
    """Fat-free mass index [kg/m²] from fat [%], weight [kg] and height [cm] (VanItallie 1990)."""
    return weight * (1.0 - fat_percent / 100.0) / (height / 100.0) ** 2


def signs_of(
    sex: Sex,
    columns: Columns,
    others: tuple[float, Array] | None = None,
    open_ended: frozenset[str] = frozenset(),
) -> tuple[Sign, ...]:
    """Return the signs that the measurements of one client allow.

    Parameters
    ----------
    sex : str
    columns : mapping of str to array
        One column of accepted values, NaN for not taken.
    others : tuple of float and array of shape (P,), optional
        Fat [%] by the methods that do not go by weight for height: the client's, and what the same
        equations print for the simulated population.
    open_ended : frozenset of str
        Folds that stopped at the end of the scale: they say nothing here.
    """
    measured = _measured(columns, open_ended)
    return tuple(
        sign
        for sign in (
            _muscle(sex, columns, measured, others),
            _belly(sex, columns, measured),
            _trunk(sex, columns, measured),
        )
        if sign is not None
    )


def has_muscular_limbs(
    sex: Sex, columns: Columns, open_ended: frozenset[str] = frozenset()
) -> bool:
    """Return whether the limbs of one client show more muscle than usual, called out as a sign is.

    What is asked of every visit: without the size of the sign, which takes what all methods print.
    """
    sign = _muscle(sex, columns, _measured(columns, open_ended), None)
    return sign is not None and sign.is_notable and sign.z > 0


def _measured(columns: Columns, open_ended: frozenset[str]) -> set[str]:
    return {name for name, column in columns.items() if np.isfinite(column[0])} - open_ended


def _muscle(
    sex: Sex, columns: Columns, measured: set[str], others: tuple[float, Array] | None
) -> Sign | None:
    if not {"weight_kg", "height_cm"} <= measured:
        return None
    # without fat taken off, the index is the body mass index
    if fat_free_mass_index(0.0, columns["weight_kg"][0], columns["height_cm"][0]) >= MUSCLE_BMI:
        return None
    limbs = [
        next((pair for pair in limb if {name for name in pair if name} <= measured), None)
        for limb in LEAN_LIMBS
    ]
    chosen = [pair for pair in limbs if pair is not None]
    if not chosen:
        return None

    parts = [_residual_z(sex, columns, ("lean", *pair), AGE_AND_SIZE) for pair in chosen]
    about = tuple(dict.fromkeys(name for pair in chosen for name in pair if name))
    z, usual = _mean_z(parts)
    size = z
    if others is not None:
        fat, usual_fat = others

        shares = [np.log(np.maximum(100.0 - part, 1.0)) for part in (usual_fat, np.array([fat]))]
        index = _standing(_usual_of(sex, shares[0], AGE_AND_SIZE), columns, shares[1], AGE_AND_SIZE)
        if index[0] * z > 0.0:
            size, usual = _mean_z([(z, usual), index])
    return Sign("muscle", z, size, usual, about)


def _mean_z(parts: Sequence[tuple[float, Array]]) -> tuple[float, Array]:
    """Mean of several measures, in its own standard deviations."""
    usual = np.mean([part[1] for part in parts], axis=0)
    size = float(usual.std())
    return float(np.mean([part[0] for part in parts])) / size, usual / size


def _belly(sex: Sex, columns: Columns, measured: set[str]) -> Sign | None:
    waists = [name for name in WAISTS if name in measured]
    folds = [name for name in (*TRUNK_FOLDS, *LIMB_FOLDS) if name in measured]
    if not waists or not folds or "height_cm" not in measured:
        return None

    waist = ("mean of logs", *waists)
    z, usual = _residual_z(sex, columns, waist, (AGE, HEIGHT, ("mean of logs", *folds)))
    shown = z
    if "weight_kg" in measured and _residual_z(sex, columns, waist, AGE_AND_SIZE)[0] * z < 0.0:
        shown = 0.0
    return Sign("belly", shown, z, usual, tuple(waists))


def _trunk(sex: Sex, columns: Columns, measured: set[str]) -> Sign | None:
    trunk = [name for name in TRUNK_FOLDS if name in measured]
    limb = [name for name in LIMB_FOLDS if name in measured]
    if not trunk or not limb:
        return None

    given = AGE, ("mean of logs", *limb)
    z, usual = _residual_z(sex, columns, ("mean of logs", *trunk), given)
    return Sign("trunk", z, z, usual, tuple(trunk))


def _value(measure: Measure, people: Columns) -> Array:
    """What is read off people: a function of their columns by its name."""
    kind, *names = measure
    if kind == "lean":
        girth, fold = names
        around = people[fold] if fold else 0.0
        return np.asarray(np.log(np.maximum(lean_girth(people[girth], around), 1.0)))
    if kind == "mean of logs":
        return np.asarray(np.mean([np.log(people[name]) for name in names], axis=0))
    return people[kind]


@dataclass(frozen=True, slots=True)
class _Usual:
    """How others predict a measure in the simulated population, and what is left (P,) in ``spread``."""

    slope: Array
    spread: float
    residuals: Array


def _usual_of(sex: Sex, measure: Array, given: tuple[Measure, ...]) -> _Usual:
    people = simulated_people(sex)
    columns = [_value(predictor, people) for predictor in given]
    design = np.column_stack([np.ones(people["age_years"].size), *columns])
    slope = least_squares(design, measure)
    residuals = measure - product(design, slope)
    spread = float(residuals.std())
    return _Usual(slope, spread, residuals / spread)


@lru_cache(maxsize=128)
def _usual_by_name(sex: Sex, wanted: Measure, given: tuple[Measure, ...]) -> _Usual:
    """The same for a measure by its name: whatever the client is like, the population is the same."""
    return _usual_of(sex, _value(wanted, simulated_people(sex)), given)


def _residual_z(
    sex: Sex, columns: Columns, wanted: Measure, given: tuple[Measure, ...]
) -> tuple[float, Array]:
    """Residual from what others predict, in standard deviations: the client's, the population's."""
    usual = _usual_by_name(sex, wanted, given)
    return _standing(usual, columns, _value(wanted, columns), given)


def _standing(
    usual: _Usual, columns: Columns, measure: Array, given: tuple[Measure, ...]
) -> tuple[float, Array]:
    seen = np.array([1.0, *(_value(predictor, columns)[0] for predictor in given)])
    residual = float(measure[0]) - inner(seen, usual.slope)
    return residual / usual.spread, usual.residuals
