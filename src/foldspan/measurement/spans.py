"""Spans: what is wrong with values of a quantity, and the unit that each looks like, many at once.

The rule of every door: a visit file and a session ask it of one value, a table of a column.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.numerics.converted import converted
from foldspan.quantities import BY_NAME, SEXES, Quantity, Sex

# the units that people mix up, in the order in which the mistake is likely
MIXED_UP = {
    "cm": ("m", "in", "mm", "ft"),
    "mm": ("cm", "in"),
    "kg": ("lb", "st", "g"),
    "years": (),
}

# what is wrong with a value
FINE, UNUSUAL, IMPOSSIBLE, NEGATIVE, INFINITE = range(5)
# and its code, where what is unusual is used
CODES = {UNUSUAL: "W103", IMPOSSIBLE: "E102", NEGATIVE: "E107", INFINITE: "E106"}


@dataclass(frozen=True, slots=True)
class Spans:
    """The spans of a quantity: their ends for each sex in the order of ``SEXES``, then for either."""

    low: Array
    high: Array
    lowest: Array
    highest: Array

    @property
    def usual_for_both(self) -> tuple[float, float]:
        """Between these a value is usual whatever the sex, unless it is zero."""
        # the span for either sex is the wider one, so it decides nothing here
        return float(self.low.max()), float(self.high.min())

    def kinds(self, values: Array, sexes: Array) -> Array:
        """Return what is wrong with N values; sexes are places in ``SEXES``, -1 where not known."""
        found = np.zeros(values.shape[0], dtype=np.int64)
        found[(values < self.low[sexes]) | (values > self.high[sexes])] = UNUSUAL
        found[(values < self.lowest[sexes]) | (values > self.highest[sexes])] = IMPOSSIBLE
        found[values <= 0.0] = NEGATIVE
        found[np.isinf(values)] = INFINITE
        return found


@cache
def spans_of(name: str) -> Spans:
    """Return the spans of a quantity."""
    quantity = BY_NAME[name]
    usual, possible = (
        np.array([span(sex) for sex in (*SEXES, None)]).T
        for span in (quantity.plausible, quantity.possible)
    )
    return Spans(*usual, *possible)


def units_meant(quantity: Quantity, typed_in: str = "") -> tuple[str, ...]:
    """Return the units that a value typed in one may have been meant in, behind "" for none of them."""
    units = (quantity.unit, *MIXED_UP[quantity.unit])
    return ("", *(unit for unit in units if unit != (typed_in or quantity.unit)))


def likely_units(
    values: Array, quantity: Quantity, sex: Sex | None = None, typed_in: str = ""
) -> Array:
    """Return the unit in which each of N values would be plausible, as places in ``units_meant``.

    Parameters
    ----------
    values : array of shape (N,)
        As they were typed.
    quantity : Quantity
        What they are of.
    sex : str, optional
        Whose plausible span counts; left out, the wider one for either.
    typed_in : str
        The unit they were typed in, which is none of the answers; left out, the canonical.
    """
    _, *units = units_meant(quantity, typed_in)
    if not units:
        return np.zeros(values.shape[0], dtype=np.int64)
    low, high = quantity.plausible(sex)
    with np.errstate(over="ignore"):
        meant = converted(values[:, None], tuple(units), quantity.unit)
    fits = (meant >= low) & (meant <= high)
    return np.where(fits.any(axis=1), fits.argmax(axis=1) + 1, 0)
