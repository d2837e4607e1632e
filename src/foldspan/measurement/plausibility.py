"""Plausibility: whether a reading, or those of one site, can be right, in words for whoever typed it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.measurement.spans import (
    CODES,
    FINE,
    IMPOSSIBLE,
    MIXED_UP,
    NEGATIVE,
    UNUSUAL,
    likely_units,
    spans_of,
    units_meant,
)
from foldspan.problems import Problem
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

# share of a value that is not used, taken as its error where it is judged all the same (ours)
UNUSED_ERROR = 0.01
# least weight [kg] and height [cm] that are possible under 18, or where the age is not known (ours: less
# than nearly every child of two, and of one)
LEAST_YOUNG = {"weight_kg": 8.0, "height_cm": 60.0}


def likely_unit(value: float, quantity: Quantity, sex: Sex | None, typed_in: str = "") -> str:
    """Return the unit in which ``value`` would be plausible, or "".

    ``typed_in`` is the unit that it was typed in, which is none of the answers; left out, the canonical.
    """
    place = likely_units(np.array([value]), quantity, sex, typed_in)[0]
    return units_meant(quantity, typed_in)[int(place)]


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
    places = np.array([-1 if sex is None else SEXES.index(sex)])
    kind = int(spans_of(quantity.name).kinds(np.array([value]), places)[0])
    if kind == FINE:
        return None
    given = typed or f"{value:.10g}"
    number, said_unit = number_and_unit(given, quantity.unit)
    unit = said_unit or unit or quantity.unit
    shown = unit if unit in (*CENTIMETRES_PER, *KILOGRAMS_PER) else quantity.unit
    if kind == NEGATIVE:
        remedy = "Measure again, or leave it out."
        if quantity.kind == "age":
            remedy = "Write the age in years, such as 41, or a birth date instead."
        return Problem(CODES[kind], where, "zero or negative", remedy, given)
    meant = likely_unit(number, quantity, sex, unit)
    hint = f'It looks like {UNIT_PLURAL[meant]}: write "{{number}} {meant}".' if meant else ""
    if kind == UNUSUAL:
        what = f"outside the usual range, {_span(*quantity.plausible(sex), quantity, shown)}"
        if accept_unusual:
            return Problem(CODES[kind], where, what, "It is used as entered.", given)
        remedy = f"{hint} If it is correct, add --accept-unusual.".strip()
        return Problem("E103", where, what, remedy, given)
    what = f"outside the possible range, {_span(*quantity.possible(sex), quantity, shown)}"
    return Problem(CODES[IMPOSSIBLE], where, what, hint or "Measure or enter it again.", given)


def _span(low: float, high: float, quantity: Quantity, unit: str) -> str:
    """A span in the unit of whoever typed; canonical limits as they stand, others to three digits."""
    if unit == quantity.unit:
        return f"{low:g} to {high:g} {unit}"
    first, last = (convert(end, quantity.unit, unit) for end in (low, high))
    return f"{_three_digits(first)} to {_three_digits(last)} {unit}"


def _three_digits(value: float) -> str:
    """A number to three digits, a large one in full: 2500, not 2.5e+03."""
    return f"{float(f'{value:.3g}'):.10g}"


def largest_range(quantity: Quantity, highest: Array | float) -> Array:
    """Return how far readings of one site may lie apart, in its unit, by the highest of them (N,)."""
    allowed = SLIP[quantity.kind]
    share = SLIP_SHARE if quantity.kind == "skinfold" else 0.0
    return np.fmax(allowed, share * np.asarray(highest))


def range_problem(
    readings: Sequence[float], quantity: Quantity, where: str, *, accept_unusual: bool
) -> Problem | None:
    """Return a problem where readings of one site cannot be of one site, or None."""
    spread, allowed = max(readings) - min(readings), float(largest_range(quantity, max(readings)))
    if spread <= allowed:
        return None
    what = f"readings more than {allowed:.3g} {quantity.unit} apart cannot be from one site"
    if accept_unusual:
        return Problem("W124", where, what, "They are used as entered.")
    remedy = "Check for a mistake and measure again. If they are correct, add --accept-unusual."
    return Problem("E124", where, what, remedy)


UNIT_PLURAL = {
    "": "", "m": "metres", "in": "inches", "mm": "millimetres", "ft": "feet", "cm": "centimetres",
    "kg": "kilograms", "lb": "pounds", "st": "stone", "g": "grams",
}  # fmt: skip
assert set(UNIT_PLURAL) >= {unit for units in MIXED_UP.values() for unit in units}
assert set(MIXED_UP) == {quantity.unit for quantity in BY_NAME.values()}
