"""Normal: the error function, and the quantile of the normal law, of numbers and of whole tables.

``scipy.special`` has both, but to load it takes twice as long as to load numpy, which is more than all
that one visit asks of it.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from foldspan.catalogue.card import Array

# From here on the error function is one in doubles: its complement at 5.93 is under half of a last bit.
END = 6.0
# Points of the table per unit, and terms of the Taylor series around each: what the series leaves out
# halfway between two points is under 1e-17.
PER_UNIT, TERMS = 128, 6


@cache
def _series() -> list[Array]:
    """Terms of the Taylor series of the error function around each point of the table, from the last.

    Every derivative follows from the two before it, by the recurrence of the Hermite polynomials
    (Abramowitz & Stegun 1964, 7.1.19; not verified in print).
    """
    half = int(END * PER_UNIT)
    points = np.arange(-half, half + 1) / PER_UNIT
    slope = 2.0 / math.sqrt(math.pi) * np.array([math.exp(-point * point) for point in points])
    derivatives = [slope, -2.0 * points * slope]
    for order in range(1, TERMS - 1):
        before, last = derivatives[-2:]
        derivatives.append(-2.0 * (points * last + order * before))
    terms = [
        derivative / math.factorial(order) for order, derivative in enumerate(derivatives, start=1)
    ]
    return [*reversed(terms), np.array([math.erf(point) for point in points])]


def error_function(values: Array) -> Array:
    """Return the error function of N values, (N,) or of any shape; NaN where a value is NaN.

    Right to the last bit or the one before it. Each value by itself, so that the same number comes out
    whatever others are asked at once.
    """
    held = values.clip(-END, END)
    nearest = np.rint(held * PER_UNIT)
    np.fmax(nearest, -END * PER_UNIT, out=nearest)  # not a number has a place, and stays none
    rows = (nearest + END * PER_UNIT).astype(np.intp)
    held -= nearest / PER_UNIT
    first, *others = _series()
    found: Array = first.take(rows)
    for term in others:
        found *= held
        found += term.take(rows)
    return found


@cache
def quantile(share: float) -> float:
    """Return the value that a share of a normal law lies below, in standard deviations from its mean.

    By the standard library (algorithm AS 241, Wichura 1988, as its source says).

    Raises
    ------
    ValueError
        For a share that is not between 0 and 1.
    """
    from statistics import NormalDist  # few visits ask for one

    if not 0.0 < share < 1.0:
        raise ValueError("a quantile is of a share between 0 and 1")
    return NormalDist().inv_cdf(share)
