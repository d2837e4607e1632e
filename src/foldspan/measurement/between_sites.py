"""Between sites: measurements of one body that are each possible and do not go together.

For N people at once, one client is N = 1: a session asks back, a visit file is sent back or warned of,
a table marks the row, and all three ask here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeVar

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.problems import Problem
from foldspan.protocol.cross_checks import CROSS_CHECKS, CrossCheck
from foldspan.quantities import BY_NAME, KILOGRAMS_PER, SEXES, Sex
from foldspan.standards.referral_rules import ADULT_AGE

# Waist expected from body mass index, age and height, and its spread [cm]: fitted on open survey data,
# adults of 20 and more, 2017-18. A gap of 16 cm catches pounds typed as kilograms almost always.
WAIST_FROM_BMI = {
    "male": (-34.3, 2.368, 0.211, 0.327),
    "female": (-25.8, 2.020, 0.168, 0.346),
}
WAIST_GAP = 16.0
# waists that are compared, and what converts them to the iliac level (protocol/waist_sites.py)
WAIST_TO_ILIAC = {
    "waist_iliac_cm": {"male": 0.0, "female": 0.0},
    "waist_midpoint_cm": {"male": 0.8, "female": 3.2},
    "abdomen_navel_cm": {"male": 0.0, "female": 0.0},
    "waist_narrowest_cm": {"male": 3.1, "female": 10.0},
}
POUNDS_FROM_BMI = 42.0
# what a body mass index of pounds typed as kilograms comes to once they are taken for pounds
POUNDS_AS_BMI = (17.0, 35.0)
BMI_POSSIBLE = (9.0, 100.0)
# below it weight or height is wrong for sure; from it on a very low weight may be true, and is said
# though it is not used (ours; not verified in print: people have lived with an index a little under 7)
LEAST_BMI = 6.0
BMI_PLAUSIBLE = {"female": (16.0, 60.0), "male": (16.0, 55.0)}

Number = TypeVar("Number", float, Array)


def expected_waist(sex: Sex, bmi: Number, age: Number, height: Number) -> Number:
    """Return the waist [cm] expected from body mass index [kg/m²], age [years] and height [cm]."""
    constant, per_bmi, per_year, per_cm = WAIST_FROM_BMI[sex]
    return constant + per_bmi * bmi + per_year * age + per_cm * height


def least_bmi(age: Array) -> Array:
    """Return the least possible body mass index [kg/m²] by age [years]; unknown, that of the young."""
    with np.errstate(invalid="ignore"):
        return np.where(age >= ADULT_AGE, BMI_POSSIBLE[0], LEAST_BMI)


def impossible_bodies(bmi: Array, age: Array) -> BoolArray:
    """Return of whom weight and height cannot both be right, bool (N,), by body mass index [kg/m²]."""
    with np.errstate(invalid="ignore"):
        return np.asarray((bmi < least_bmi(age)) | (bmi > BMI_POSSIBLE[1]))


def unusual_bodies(values: Mapping[str, Array], bmi: Array, age: Array, sexes: Array) -> BoolArray:
    """Return of whom weight, height and waist rarely go together, bool (N,).

    Without a waist that fits it, a very large body may be pounds typed as kilograms.

    Parameters
    ----------
    values : mapping of str to array
        Quantity → accepted values (N,) in canonical units, NaN where not known; with height.
    bmi, age : array (N,)
        Body mass index [kg/m²] and years, NaN where not known.
    sexes : array of int
        Places in ``SEXES`` (N,), -1 where not known: odd for either sex then, or not at all.
    """
    odd, either = np.zeros(bmi.shape[0], dtype=bool), sexes < 0
    for place, sex in enumerate(SEXES):
        waist = np.full(bmi.shape[0], np.nan)
        for name, level in WAIST_TO_ILIAC.items():
            if name in values:
                waist = np.where(np.isnan(waist), values[name] + level[sex], waist)
        alone, (low, high) = np.isnan(waist) | np.isnan(age), BMI_PLAUSIBLE[sex]
        with np.errstate(invalid="ignore"):
            very_large = (bmi < low) | (bmi > high) | (bmi > POUNDS_FROM_BMI)
            gap = np.abs(waist - expected_waist(sex, bmi, age, values["height_cm"]))
            # a waist that fits confirms a large body
            found = (alone & very_large) | (gap > WAIST_GAP)
        odd |= found & (sexes == place)
        either &= found
    return odd | either


def in_other_unit(bmi: Array, unit: str) -> tuple[BoolArray, str]:
    """Return whose weight is usual if it stands in another unit, bool (N,), and that unit.

    ``bmi`` [kg/m²] is that of the weights taken in ``unit``.
    """
    low, high = POUNDS_AS_BMI
    meant = bmi * KILOGRAMS_PER["lb"] if unit == "kg" else bmi / KILOGRAMS_PER[unit]
    with np.errstate(invalid="ignore"):
        is_odd = bmi > high if unit == "kg" else bmi < low
        return is_odd & (meant >= low) & (meant <= high), "lb" if unit == "kg" else "kg"


def rarely_together(
    values: Mapping[str, Array], sexes: Array
) -> Iterator[tuple[CrossCheck, BoolArray]]:
    """Yield every check that somebody breaks, with who does.

    A value that is unusual by itself is reported by itself, and not again with every other.

    Parameters
    ----------
    values : mapping of str to array
        Quantity → accepted values (N,) in canonical units; NaN where not known, or only known to be at
        least so much.
    sexes : array of int
        Places in ``SEXES`` (N,), -1 where not known.
    """
    for check in CROSS_CHECKS:
        if check.first in values and check.second in values:
            rows = check.breaks(values[check.first], values[check.second], sexes)
            for name in (check.first, check.second) if rows.any() else ():
                rows &= ~_is_unusual(name, values[name], sexes)
            if rows.any():
                yield check, rows


def _is_unusual(name: str, value: Array, sexes: Array) -> BoolArray:
    """Which values are unusual by themselves, bool (N,)."""
    spans = np.array([BY_NAME[name].plausible(sex) for sex in (*SEXES, None)])
    return np.asarray((value < spans[sexes, 0]) | (value > spans[sexes, 1]))


def broken_checks(values: Mapping[str, float], sex: Sex | None) -> tuple[CrossCheck, ...]:
    """Return the pairs of one client's measurements that are rarely seen together."""
    return tuple(check for check, _ in rarely_together(_columns(values), _place(sex)))


def fit_problems(
    values: Mapping[str, float],
    sex: Sex | None,
    where: str,
    *,
    accept_unusual: bool,
    asks_back: bool = True,
) -> list[Problem]:
    """Return problems of weight, height and waist of one client that do not go together.

    ``values`` by quantity, with the age where it is known; ``sex`` None where it is left open: then
    what is odd for either. Of whoever is under 18 or pregnant (``asks_back`` False) only what cannot be.
    """
    if "weight_kg" not in values or "height_cm" not in values:
        return []
    columns = _columns(values)
    bmi = columns["weight_kg"] / (columns["height_cm"] / 100.0) ** 2
    age = columns.get("age_years", np.array([np.nan]))
    if impossible_bodies(bmi, age)[0]:
        span = f"{least_bmi(age)[0]:g} to {BMI_POSSIBLE[1]:g}"
        what = f"weight and height cannot both be correct (BMI outside {span})"
        return [Problem("E102", where, what, "Check both, and their units.")]
    if not asks_back or not unusual_bodies(columns, bmi, age, _place(sex))[0]:
        return []
    hint = "The weight may be in pounds. " if in_other_unit(bmi, "kg")[0][0] else ""
    code, end = (
        ("W123", "They are used as given.")
        if accept_unusual
        else ("E123", "If all are correct, add --accept-unusual.")
    )
    what = "weight, height and waist rarely occur together like this"
    return [Problem(code, where, what, f"{hint}Check each and its unit. {end}")]


def pair_problems(values: Mapping[str, float], sex: Sex | None, where: str) -> list[Problem]:
    """Return a warning for every two measurements that are rarely seen together in one body."""
    problems = []
    for check in broken_checks(values, sex):
        given = " and ".join(f"{values[name]:g}" for name in (check.first, check.second))
        what = "rarely found in the same person"
        remedy = "Check the site and unit of both; they are used as entered."
        problems.append(
            Problem("W125", f"{where}: {check.first}, {check.second}", what, remedy, given)
        )
    return problems


def _columns(values: Mapping[str, float]) -> dict[str, Array]:
    return {name: np.array([value]) for name, value in values.items()}


def _place(sex: Sex | None) -> Array:
    return np.array([-1 if sex is None else SEXES.index(sex)])
