"""Precision: a tester's technical error of measurement from repeats, within and between testers.

Formulas of Ulijaszek & Kerr (1999) and Perini (2005), from memory:

- two readings of n people: ``TEM = sqrt(sum d² / 2n)``;
- K readings: ``TEM = sqrt(sum_i [sum_k x² - (sum_k x)² / K] / (n (K - 1)))``;
- relative: ``100 TEM / mean``; reliability: ``1 - TEM² / SD²``, SD between all values;
- total over testers: ``sqrt(mean of within² + between²)``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import Array

# A tester's own error is worth using from this many clients on; a technical error is a guess before.
ENOUGH_CLIENTS = 10


@dataclass(frozen=True, slots=True, repr=False)
class Repeats:
    """Technical error of one kind [unit of the readings].

    ``degrees`` are those of freedom, ``low`` and ``high`` the 95 % bounds by chi-square (Wilson &
    Hilferty 1931); ``relative`` is in % of the mean; ``reliability`` None where it cannot be told.
    """

    tem: float
    degrees: int
    clients: int
    mean: float
    reliability: float | None

    @property
    def relative(self) -> float:
        """Technical error in % of the mean."""
        return 100.0 * self.tem / self.mean

    @property
    def bounds(self) -> tuple[float, float]:
        """95 % bounds of the technical error."""
        return tuple(  # type: ignore[return-value]
            self.tem * math.sqrt(self.degrees / chi_square(z, self.degrees))
            for z in (1.9599639845, -1.9599639845)
        )


def chi_square(z: float, degrees: int) -> float:
    """Return the chi-square quantile at a normal quantile, after Wilson & Hilferty (1931).

    Within 1 % from three degrees of freedom on.
    """
    part = 2.0 / (9.0 * degrees)
    return float(degrees * max(1.0 - part + z * math.sqrt(part), 1e-3) ** 3)


def within(readings: Array) -> Repeats | None:
    """Return the error of one tester on one site.

    Parameters
    ----------
    readings : array of shape (clients, repeats)
        NaN where a reading is missing; clients with fewer than two readings do not count.

    Returns
    -------
    Repeats or None
        None if nobody was measured twice.

    Notes
    -----
    With a different number of readings per client the sums of squares and their degrees of freedom
    are added up, which is the formula of K readings where all have K.
    """
    readings = np.asarray(readings, dtype=float)
    counts = np.isfinite(readings).sum(axis=1)
    rows = readings[counts >= 2]
    if rows.size == 0:
        return None
    counts = counts[counts >= 2]
    means = np.nanmean(rows, axis=1)
    squares = float(np.nansum((rows - means[:, None]) ** 2))
    degrees = int(np.sum(counts - 1))
    return Repeats(
        math.sqrt(squares / degrees),
        degrees,
        int(rows.shape[0]),
        float(np.nanmean(rows)),
        _reliability(rows, squares / degrees),
    )


def between(testers: Mapping[str, Array]) -> Repeats | None:
    """Return the error between testers on one site.

    Parameters
    ----------
    testers : mapping
        Tester → that tester's value of every client (clients,), NaN where not measured; the same
        clients in the same order for all.

    Returns
    -------
    Repeats or None
        None if nobody was measured by two testers.
    """
    return within(np.column_stack(list(testers.values()))) if len(testers) > 1 else None


def total(own: list[Repeats], between_testers: Repeats | None) -> float | None:
    """Return the total error over testers, or None where a part is missing."""
    if not own or between_testers is None:
        return None
    mean_square = sum(one.tem**2 for one in own) / len(own)
    return math.sqrt(mean_square + between_testers.tem**2)


def _reliability(rows: Array, variance: float) -> float | None:
    """``1 - TEM² / SD²`` with the SD between all readings; None for fewer than three clients."""
    if rows.shape[0] < 3:
        return None
    spread = float(np.nanvar(rows, ddof=1))
    return None if spread <= 0.0 else 1.0 - variance / spread


def systematic(testers: Mapping[str, Array]) -> dict[str, float]:
    """Return by how much each tester reads above the mean of all, on the clients all measured."""
    table = np.column_stack(list(testers.values()))
    rows = table[np.isfinite(table).all(axis=1)]
    if rows.shape[0] == 0:
        return {}
    grand = rows.mean()
    return {name: float(rows[:, place].mean() - grand) for place, name in enumerate(testers)}
