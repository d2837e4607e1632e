"""Plausibility: range and consistency checks of readings, and the units people mix up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeVar

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.problems import Problem
from foldspan.protocol.cross_checks import rarely_together
from foldspan.protocol.technical_error import SLIP, SLIP_SHARE
from foldspan.quantities import (
    BY_NAME,
    CENTIMETRES_PER,
    KILOGRAMS_PER,
    SEXES,
    Quantity,
    Sex,
    convert,
    number_and_unit,
)

# in the order in which the mistake is likely
MIXED_UP = {
    "cm": ("m", "in", "mm", "ft"),
    "mm": ("cm", "in"),
    "kg": ("lb", "st", "g"),
    "years": (),
}
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
# share of a value that is not used, taken as its error where it is judged all the same (ours)
UNUSED_ERROR = 0.01
# least weight [kg] and height [cm] that are possible under 18, or where the age is not known (ours: less
# than nearly every child of two, and of one)
LEAST_YOUNG = {"weight_kg": 8.0, "height_cm": 60.0}
BMI_PLAUSIBLE = {"female": (16.0, 60.0), "male": (16.0, 55.0)}


Number = TypeVar("Number", float, Array)


def expected_waist(sex: Sex, bmi: Number, age: Number, height: Number) -> Number:
    """Return the waist [cm] expected from body mass index [kg/m²], age [years] and height [cm]."""
    constant, per_bmi, per_year, per_cm = WAIST_FROM_BMI[sex]
    return constant + per_bmi * bmi + per_year * age + per_cm * height


def likely_unit(value: float, quantity: Quantity, sex: Sex | None, typed_in: str = "") -> str:
    """Return the unit in which ``value`` would be plausible, or "".

    ``typed_in`` is the unit that it was typed in, which is none of the answers; left out, the canonical.
    """
    low, high = quantity.plausible(sex)
    for unit in (quantity.unit, *MIXED_UP[quantity.unit]):
        if unit == (typed_in or quantity.unit):
            continue
        if low <= convert(value, unit, quantity.unit) <= high:
            return unit
    return ""


def span_problem(
    value: float,
    quantity: Quantity,
    sex: Sex | None,
    where: str,
    *,
    accept_unusual: bool,
    typed: str = "",
    unit: str = "",
) -> Problem | None:
    """Return what is wrong with a value in canonical units, or None.

    Outside the possible span it is refused (E102); outside the plausible span it is asked back (E103),
    or used with a warning (W103) where ``accept_unusual``. ``typed`` is what was typed, left out for
    a bare number in the canonical unit, and ``unit`` that of a bare number: what is said is said of the
    number typed, in its unit.
    """
    given = typed or f"{value:.10g}"
    number, said_unit = number_and_unit(given, quantity.unit)
    unit = said_unit or unit or quantity.unit
    shown = unit if unit in (*CENTIMETRES_PER, *KILOGRAMS_PER) else quantity.unit
    if value <= 0.0:
        remedy = "Measure again, or leave it out."
        if quantity.kind == "age":
            remedy = "Write the age in years, such as 41, or a birth date instead."
        return Problem("E107", where, "zero or negative", remedy, given)
    (lowest, highest), (low, high) = quantity.possible(sex), quantity.plausible(sex)
    meant = likely_unit(number, quantity, sex, unit)
    hint = f'It looks like {UNIT_PLURAL[meant]}: write "{{number}} {meant}".' if meant else ""
    if not lowest <= value <= highest:
        what = f"outside {_span(lowest, highest, quantity, shown)}, what is possible"
        return Problem("E102", where, what, hint or "Measure or type it again.", given)
    if low <= value <= high:
        return None
    what = f"outside {_span(low, high, quantity, shown)}, which is very unusual"
    if accept_unusual:
        return Problem("W103", where, what, "It is used as given.", given)
    return Problem(
        "E103", where, what, f"{hint} If it is right, say --accept-unusual.".strip(), given
    )


def _span(low: float, high: float, quantity: Quantity, unit: str) -> str:
    """A span in the unit of whoever typed; canonical limits as they stand, others to three digits."""
    if unit == quantity.unit:
        return f"{low:g} to {high:g} {unit}"
    first, last = (convert(end, quantity.unit, unit) for end in (low, high))
    return f"{first:.3g} to {last:.3g} {unit}"


def apart_problem(
    readings: Sequence[float], quantity: Quantity, where: str, *, accept_unusual: bool
) -> Problem | None:
    """Return a problem where readings of one site cannot be of one site, or None."""
    spread = max(readings) - min(readings)
    allowed = SLIP[quantity.kind]
    if quantity.kind == "skinfold":
        allowed = max(allowed, SLIP_SHARE * max(readings))
    if spread <= allowed:
        return None
    what = f"readings more than {allowed:.3g} {quantity.unit} apart cannot be of one site"
    if accept_unusual:
        return Problem("W124", where, what, "They are used as given.")
    remedy = "Check for a slip and measure again. If they are right, say --accept-unusual."
    return Problem("E124", where, what, remedy)


def fit_problems(
    values: dict[str, float], sex: Sex, where: str, *, accept_unusual: bool
) -> list[Problem]:
    """Return problems of values that are each possible but do not go together."""
    problems: list[Problem] = []
    weight, height = values.get("weight_kg"), values.get("height_cm")
    if weight is None or height is None:
        return problems
    bmi = weight / (height / 100.0) ** 2
    if not BMI_POSSIBLE[0] <= bmi <= BMI_POSSIBLE[1]:
        what = "weight and height cannot both be right (body mass index outside 9 to 100)"
        problems.append(Problem("E102", where, what, "Check both, and their units."))
        return problems
    # without a waist that fits it, a very large body may be pounds typed as kilograms
    odd = not BMI_PLAUSIBLE[sex][0] <= bmi <= BMI_PLAUSIBLE[sex][1] or bmi > POUNDS_FROM_BMI
    waist = next(
        (values[name] + WAIST_TO_ILIAC[name][sex] for name in WAIST_TO_ILIAC if name in values),
        None,
    )
    if waist is not None and "age_years" in values:
        expected = expected_waist(sex, bmi, values["age_years"], height)
        odd = abs(waist - expected) > WAIST_GAP  # a waist that fits confirms a large body
    if odd:
        hint = "The weight may be in pounds. " if _is_pounds(bmi) else ""
        code, end = (
            ("W123", "They are used as given.")
            if accept_unusual
            else ("E123", "If all are right, say --accept-unusual.")
        )
        what = "weight, height and waist rarely go together like this"
        problems.append(Problem(code, where, what, f"{hint}Check each and its unit. {end}"))
    return problems


def pair_problems(values: Mapping[str, float], sex: Sex, where: str) -> list[Problem]:
    """Return a warning for every two measurements that are rarely seen together in one body."""
    arrays = {name: np.array([value]) for name, value in values.items()}
    problems = []
    for check, _ in rarely_together(arrays, np.array([SEXES.index(sex)])):
        given = " and ".join(f"{values[name]:g}" for name in (check.first, check.second))
        what = "rarely seen together in one body"
        remedy = "Check the site and the unit of both; they are used as given."
        problems.append(
            Problem("W125", f"{where}: {check.first}, {check.second}", what, remedy, given)
        )
    return problems


def _is_pounds(bmi: float) -> bool:
    low, high = POUNDS_AS_BMI
    return bmi > high and low <= bmi * KILOGRAMS_PER["lb"] <= high


UNIT_PLURAL = {
    "": "", "m": "metres", "in": "inches", "mm": "millimetres", "ft": "feet", "cm": "centimetres",
    "kg": "kilograms", "lb": "pounds", "st": "stone", "g": "grams",
}  # fmt: skip
assert set(UNIT_PLURAL) >= {unit for units in MIXED_UP.values() for unit in units}
assert set(MIXED_UP) == {quantity.unit for quantity in BY_NAME.values()}
