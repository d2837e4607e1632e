"""Measured: values with their standard errors, and the chance that the true ones are below a limit.

The error is taken for normal. Every rule and every band that goes by a limit asks here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.measurement.waist_conversion import LEVELS
from foldspan.numerics.normal import error_function

# So many standard errors away from a limit a chance is 1 or 0 to the last bit: from 5.93 on the error
# function is 1 in doubles, and 8.5 / sqrt(2) = 6.01 leaves room for rounding.
SURE_BEYOND = 8.5
# of fewer chances the error function is asked at once: to sort them would take longer
FEW = 256


@dataclass(frozen=True, slots=True, repr=False)
class Measured:
    """N values with their standard errors, in the same unit; NaN where not known.

    ``level`` holds the waist level that was measured where another one is meant, by its place in
    ``LEVELS``, and ``stood_in`` names it, "" elsewhere; both are None for what is no waist.
    ``_asked`` keeps the chances of limits that were asked already: bands and flags share limits, and a
    batch asks each once.
    """

    value: Array
    se: Array
    level: Array | None = None
    _asked: dict[float, Array] = field(default_factory=dict, init=False, compare=False)

    @property
    def stood_in(self) -> Array | None:
        """The names of the waist levels that stood in."""
        return None if self.level is None else np.asarray(LEVELS)[self.level]

    def some(self, rows: Array) -> Measured:
        """Return some of the values, by their numbers, with what was asked of them already."""
        level = None if self.level is None else self.level[rows]
        part = Measured(self.value[rows], self.se[rows], level)
        for limit, chance in self._asked.items():
            part._asked[limit] = chance[rows]
            part._asked[limit].flags.writeable = False
        return part

    def below(self, limit: float) -> Array:
        """Return the chance that each true value is below a limit, as ``chance_below`` to the last bit.

        Read-only. A limit is asked once of N values. Of a narrow measure most are so far from it that
        the chance is 1 or 0; the error function, which costs ten times as much as the rest, is asked of
        the others only.
        """
        return self.below_each((limit,))[0]

    def below_each(self, limits: Sequence[float]) -> list[Array]:
        """Return for several limits what ``below`` returns for one."""
        new = [limit for limit in dict.fromkeys(limits) if limit not in self._asked]
        if new:
            chances = _below(np.array(new)[:, None], self.value, self.se)
            chances.flags.writeable = False
            self._asked.update(zip(new, chances, strict=True))
        return [self._asked[limit] for limit in limits]

    def at_least(self, limit: float) -> Array:
        """Return the chance that each true value is at a limit or above it."""
        return np.asarray(1.0 - self.below(limit))


def chance_below(limit: float | Array, value: Array, se: Array) -> Array:
    """Chance that the true value is below a limit, of the shape of both; NaN where not known.

    Where the error is zero it is 1 or 0, and a value on the limit is not below it.
    """
    known = np.isfinite(value) & np.isfinite(se)
    whole = bool(known.all())
    if not (whole or known.any()):
        return np.full(np.broadcast_shapes(np.shape(limit), value.shape), np.nan)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        away = (limit - value) / se / math.sqrt(2.0)
        exact = ~(se > 0.0)
        if exact.any():
            away = np.where(exact, np.where(value < limit, np.inf, -np.inf), away)
    chance = error_function(away if whole else np.where(known, away, 0.0))
    chance += 1.0
    chance *= 0.5
    return chance if whole else np.where(known, chance, np.nan)


def _below(limits: Array, value: Array, se: Array) -> Array:
    """Chances for K limits (K, 1) and N values, (K, N)."""
    if limits.size * value.size < FEW:
        return chance_below(limits, value, se)
    with np.errstate(invalid="ignore", over="ignore"):
        reach = SURE_BEYOND * se
        near = (value - reach <= limits) & (value + reach >= limits)
    if 2 * np.count_nonzero(near) > near.size:
        return chance_below(limits, value, se)
    chances = np.empty(near.shape)
    for chance, limit, some in zip(chances, limits[:, 0], near, strict=True):
        chance[:] = value < limit
        here = np.flatnonzero(some)
        chance[here] = chance_below(limit, value.take(here), se.take(here))
    unknown = ~(np.isfinite(value) & np.isfinite(se))
    if unknown.any():
        chances[:, unknown] = np.nan
    return chances


def zero_where_unknown(chance: Array) -> Array:
    """Return chances with 0 for what is not known, to be joined to what was reported."""
    return np.fmax(chance, 0.0)
