"""Technical error: a tester's technical error of measurement from repeats, within and between testers.

Formulas of Ulijaszek & Kerr (1999) and Perini (2005), not verified in print:

- two readings of n people: ``TEM = sqrt(sum d² / 2n)``;
- K readings: ``TEM = sqrt(sum_i [sum_k x² - (sum_k x)² / K] / (n (K - 1)))``;
- relative: ``100 TEM / mean``; reliability: ``1 - TEM² / SD²``, SD between all values;
- total over testers: ``sqrt(mean of within² + between²)``;
- smallest change of means of m readings: ``1.96 sqrt(2) TEM / sqrt(m)``.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.quantities import BY_NAME

# A tester's own error is worth using, and is compared with a target, from this many clients on. Two
# readings each give ten degrees of freedom: the true error is then 0.7 to 1.8 times that found (95 %),
# with one client 0.4 to 32 times. Ten people measured twice are also what standardisation exercises of
# surveys ask for (common practice, not verified in print).
ENOUGH_CLIENTS = 10
# A study of technical error has at least this many people, the second round blind (Mony and others
# 2016, opening read).
STUDY_CLIENTS = 20
# Reliability that surveys ask for (Ulijaszek & Kerr 1999, not verified in print).
WANTED_RELIABILITY = 0.95
# Half the width that holds 95 % of a normal law, in standard deviations.
NORMAL_95 = 1.959963984540054
# Readings in tenths that end in 0 or 5: one in five by chance; beyond this share the tester rounds. The
# method is that of survey guidance on digit preference, the threshold and the least number are ours.
ROUNDED_SHARE = 0.40
LEAST_DIGITS = 20
# More than this share of clients with repeats alike to the last digit: hardly blind (our choice).
ALIKE_SHARE = 0.75
LEAST_ALIKE = 3

Grade = Literal["skilled", "beginner", "beyond", "too_few"]


@dataclass(frozen=True, slots=True, repr=False)
class Repeat:
    """Readings of one site, on one client, by one tester, at one visit [unit of the quantity]."""

    code: str
    """The client's code."""
    tester: str
    """The tester's code, "" if no tester is named."""
    quantity: str
    """Name of the quantity."""
    readings: tuple[float, ...]
    """Readings in the order taken [unit of the quantity]."""

    def __repr__(self) -> str:
        """Return the site and nothing that was read."""
        return f"Repeat({self.quantity!r})"

    @property
    def accepted(self) -> float:
        """Accepted value: the reading, the mean of two, the median of three and more."""
        return statistics.median(self.readings)


@dataclass(frozen=True, slots=True, repr=False)
class Precision:
    """Technical error of one kind [unit of the readings]."""

    tem: float
    """Technical error of measurement [unit of the readings]."""
    degrees: int
    """Its degrees of freedom [count]."""
    clients: int
    """Number of clients it is based on."""
    readings: int
    """Number of readings it is based on."""
    mean: float
    """Mean of the readings [their unit]."""
    reliability: float | None
    """Coefficient of reliability [at most 1]; negative if clients hardly differ, None if not
    known."""
    alike: float
    """Share of clients whose repeats are identical [0 to 1]."""

    @property
    def relative(self) -> float:
        """Technical error in % of the mean."""
        return 100.0 * self.tem / self.mean

    @property
    def bounds(self) -> tuple[float, float]:
        """95 % bounds of the technical error, by the chi-square law."""
        low, high = (self.degrees / chi_square(p, self.degrees) for p in (0.975, 0.025))
        return self.tem * math.sqrt(low), self.tem * math.sqrt(high)


@dataclass(frozen=True, slots=True)
class Target:
    """Published targets of the relative technical error [% of the mean].

    Perini (2005) after Gore and Norton, not verified in print.
    """

    skilled_within: float
    beginner_within: float
    skilled_between: float
    beginner_between: float
    status: str = "not verified in print"


FOLD_TARGET = Target(5.0, 7.5, 7.5, 10.0)
OTHER_TARGET = Target(1.0, 1.5, 1.5, 2.0)


@dataclass(frozen=True, slots=True)
class Offset:
    """How far a tester reads above the mean of all testers, with 95 % bounds [unit of the readings]."""

    difference: float
    """Tester's average minus the mean of all testers [unit of the readings]."""
    low: float | None
    """Lower 95% limit [unit of the readings]; None with one client."""
    high: float | None
    """Upper 95% limit [unit of the readings]; None with one client."""
    clients: int
    """Number of clients whom all testers measured."""

    @property
    def is_real(self) -> bool:
        """Whether chance makes so much in fewer than 1 case of 20."""
        return self.low is not None and self.high is not None and self.low * self.high > 0.0


@dataclass(frozen=True, slots=True)
class Digits:
    """Last digits of readings in whole tenths; ``step`` is 0.1, 0.5 or 1: the finest that was typed."""

    readings: int
    """Number of readings in whole tenths."""
    on_0_or_5: int
    """Number of those that end in 0 or 5."""
    step: float
    """Finest step in the readings: 0.1, 0.5 or 1 [unit of the readings]."""

    @property
    def share(self) -> float:
        """Share of readings that end in 0 or 5."""
        return self.on_0_or_5 / self.readings

    @property
    def is_rounded(self) -> bool:
        """Whether more readings end in 0 or 5 than expected if every digit were read."""
        enough = self.step < 0.5 and self.readings >= LEAST_DIGITS
        return enough and self.share > ROUNDED_SHARE

    @property
    def is_coarse(self) -> bool:
        """Whether nothing finer than a half was typed in many readings."""
        return self.step >= 0.5 and self.readings >= LEAST_DIGITS


def target_of(quantity: str) -> Target | None:
    """Return the published targets of a quantity; None for weight, which has none."""
    kind = BY_NAME[quantity].kind
    if kind == "mass":
        return None
    return FOLD_TARGET if kind == "skinfold" else OTHER_TARGET


def grade(precision: Precision, skilled: float, beginner: float) -> tuple[Grade, bool]:
    """Return which target a technical error keeps, and whether its 95 % bounds keep the same.

    ``skilled`` and ``beginner`` are in % of the mean. Fewer clients than ``ENOUGH_CLIENTS`` are too few
    to say.
    """
    if precision.clients < ENOUGH_CLIENTS:
        return "too_few", True
    low, relative, high = (
        _grade(100.0 * value / precision.mean, skilled, beginner)
        for value in (precision.bounds[0], precision.tem, precision.bounds[1])
    )
    return relative, low == high


def _grade(relative: float, skilled: float, beginner: float) -> Grade:
    if relative <= skilled:
        return "skilled"
    return "beginner" if relative <= beginner else "beyond"


def chi_square(below: float, degrees: int) -> float:
    """Return the chi-square value that a share ``below`` lies under."""
    from scipy.special import chdtri

    return float(chdtri(degrees, 1.0 - below))


def is_too_alike(precision: Precision, quantity: str) -> bool:
    """Whether repeats agree so often that the tester hardly read them blind.

    Folds and girths only: a digital scale shows the same weight twice.
    """
    if BY_NAME[quantity].kind not in ("skinfold", "girth"):
        return False
    return precision.clients >= LEAST_ALIKE and precision.alike > ALIKE_SHARE


def as_table(repeats: Sequence[Sequence[float]]) -> Array:
    """Return readings as (visits, most readings), NaN where a visit has fewer."""
    table = np.full((len(repeats), max(map(len, repeats))), np.nan)
    for row, readings in enumerate(repeats):
        table[row, : len(readings)] = readings
    return table


def within(readings: Array) -> Precision | None:
    """Return the error of one tester on one site.

    Parameters
    ----------
    readings : array of shape (clients, repeats)
        NaN where a reading is missing; clients with fewer than two readings do not count.

    Returns
    -------
    Precision or None
        None if nobody was measured twice.

    Notes
    -----
    With a different number of readings per client the sums of squares and their degrees of freedom
    are added up, which is the formula of K readings where all have K. A third reading that is taken
    because two lie apart does not bias it.

    Examples
    --------
    >>> import numpy as np
    >>> found = within(np.array([[10.0, 12.0], [20.0, 20.0]]))
    >>> found.tem, found.degrees
    (1.0, 2)
    """
    readings = np.asarray(readings, dtype=float)
    counts = np.isfinite(readings).sum(axis=1)
    rows, counts = readings[counts >= 2], counts[counts >= 2]
    if rows.size == 0:
        return None
    means = np.nanmean(rows, axis=1)
    squares = float(np.nansum((rows - means[:, None]) ** 2))
    degrees = int(np.sum(counts - 1))
    return Precision(
        tem=math.sqrt(squares / degrees),
        degrees=degrees,
        clients=int(rows.shape[0]),
        readings=int(counts.sum()),
        mean=float(np.nanmean(rows)),
        reliability=_reliability(rows, squares / degrees),
        alike=float(np.mean(np.nanmax(rows, axis=1) == np.nanmin(rows, axis=1))),
    )


def between(testers: Mapping[str, Array]) -> Precision | None:
    """Return the error between testers on one site.

    Parameters
    ----------
    testers : mapping
        Tester → that tester's accepted value of every client (clients,), NaN where not measured; the
        same clients in the same order for all.

    Returns
    -------
    Precision or None
        None if nobody was measured by two testers. It holds what testers differ by, and what is left
        of the error within each.
    """
    return within(np.column_stack(list(testers.values()))) if len(testers) > 1 else None


def total(own: Sequence[Precision], between_testers: Precision | None) -> float | None:
    """Return the total error over testers, or None where a part is missing."""
    if not own or between_testers is None:
        return None
    mean_square = sum(tester.tem**2 for tester in own) / len(own)
    return math.sqrt(mean_square + between_testers.tem**2)


def smallest_change(tem: float, readings: int = 2) -> float:
    """Return what the means of so many readings must differ by to be more than scatter (95 %)."""
    return NORMAL_95 * math.sqrt(2.0 / readings) * tem


def systematic(testers: Mapping[str, Array]) -> dict[str, Offset]:
    """Return by how much each tester reads above the mean of all, on the clients all measured.

    ``testers`` is as for ``between``; bounds are those of Student's t.
    """
    from scipy.special import stdtrit

    if len(testers) < 2:
        return {}
    table = np.column_stack(list(testers.values()))
    rows = table[np.isfinite(table).all(axis=1)]
    count = int(rows.shape[0])
    if count == 0:
        return {}
    above = rows - rows.mean(axis=1, keepdims=True)
    offsets = {}
    for place, name in enumerate(testers):
        difference, low, high = float(above[:, place].mean()), None, None
        if count > 1:
            error = float(above[:, place].std(ddof=1)) / math.sqrt(count)
            half = float(stdtrit(count - 1, 0.975)) * error
            low, high = difference - half, difference + half
        offsets[name] = Offset(difference, low, high, count)
    return offsets


def last_digits(readings: Sequence[float]) -> Digits | None:
    """Return how often readings end in 0 or 5; None if none is in whole tenths.

    Readings that were converted from another unit have more decimals; they do not count.

    Examples
    --------
    >>> last_digits([21.0, 21.4, 22.5, 8.255]).on_0_or_5
    2
    """
    tenths = [
        round(10.0 * reading)
        for reading in readings
        if abs(10.0 * reading - round(10.0 * reading)) < 1e-6
    ]
    if not tenths:
        return None
    if any(digit % 5 for digit in tenths):
        return Digits(len(tenths), sum(digit % 5 == 0 for digit in tenths), 0.1)
    if any(digit % 10 for digit in tenths):
        return Digits(len(tenths), len(tenths), 0.5)
    return Digits(len(tenths), sum(digit % 50 == 0 for digit in tenths), 1.0)


def _reliability(rows: Array, variance: float) -> float | None:
    """``1 - TEM² / SD²`` with the SD between all readings; None for fewer than three clients."""
    if rows.shape[0] < 3:
        return None
    spread = float(np.nanvar(rows[np.isfinite(rows)], ddof=1))
    return None if spread <= 0.0 else 1.0 - variance / spread
