"""Accepted values: from one to three readings of a site to its accepted value and standard error."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.protocol.clothing import Layer
from foldspan.protocol.repeat_rules import tolerance
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import BY_NAME

# A client's own two or three repeats say little about the tester: one or two degrees of freedom.
# They are pooled with the published error, which counts as this many degrees of freedom.
PRIOR_DEGREES = 4.0
# SD of the median of three normal readings, in SDs of one (Lieblein 1952; 400,000 simulated triples).
MEDIAN_OF_THREE = 0.67
# What repeats do not show: mark, landmark and day stay the same for all readings of a visit. Half of
# the published variance is taken to be of that kind (our choice).
LASTING_SHARE = 0.5
# What rounding to a mark of the scale alone makes [unit of the kind]: marks of 0.5 mm and 0.1 cm or kg.
ROUNDING = {
    kind: mark / math.sqrt(12.0)
    for kind, mark in (
        ("skinfold", 0.5), ("girth", 0.1), ("breadth", 0.1), ("mass", 0.1), ("height", 0.1),
    )
}  # fmt: skip
# A reading that stopped at the calliper's end means "at least": the fold is taken this much thicker,
# give or take as much (our choice).
SCALE_END_SHARE = 0.10


@dataclass(frozen=True, slots=True)
class OwnError:
    """A tester's own technical error of one site, from repeats of many clients."""

    relative: float
    """Technical error as a share of the reading [no unit]."""
    degrees: float
    """Degrees of freedom behind it [count]."""


@dataclass(frozen=True, slots=True)
class Accepted:
    """What the readings of one site come to, in the quantity's unit."""

    name: str
    """Name of the quantity."""
    value: float
    """Accepted value [unit of the quantity]."""
    se: float
    """Its standard error [unit of the quantity]."""
    spread: float
    """Largest minus smallest reading [unit of the quantity]."""
    readings: int
    """Number of readings taken."""
    is_unsteady: bool
    """Whether three readings spread over more than twice the tolerance."""
    is_at_least: bool
    """Whether a reading is at the end of the scale."""
    wants_third: bool = False
    """Whether two readings differ by more than the tolerance."""


def middle(readings: Sequence[float]) -> float:
    """Return the reading itself, the mean of two, or the median of three, without its error."""
    return _middle(sorted(readings), len(readings))


def _middle(ordered: Sequence[float], count: int) -> float:
    return ordered[1] if count == 3 else _mean(ordered, count)


def _mean(ordered: Sequence[float], count: int) -> float:
    # added up one by one, as a column is: Python's own sum rounds otherwise from 3.12 on
    total = ordered[0]
    for reading in ordered[1:]:
        total += reading
    return total / count


def value_and_se(name: str, readings: Sequence[float]) -> tuple[float, float]:
    """Return the accepted value of one site and its standard error, as ``accept`` does.

    For a search through many readings that were never taken, of which nothing else is told.
    """
    count = len(readings)
    if count == 1:
        return readings[0], math.sqrt(_variance(name, readings[0], readings, None))
    ordered = sorted(readings)
    value = _middle(ordered, count)
    variance = _variance(name, value, ordered, None)
    if count == 3:
        allowed = float(tolerance(name, _mean(ordered, count)))
        variance += _unsteady(ordered[-1] - ordered[0], allowed)
    return value, math.sqrt(variance)


def _variance(name: str, value: float, ordered: Sequence[float], own: OwnError | None) -> float:
    """Variance of an accepted value from the technical error and the scatter of the repeats."""
    count = len(ordered)
    error = technical_error(name).of(value)
    published = error * error
    passing, degrees = (1.0 - LASTING_SHARE) * published, PRIOR_DEGREES
    if own is not None:
        squares = own.degrees * max(own.relative * value, ROUNDING[BY_NAME[name].kind]) ** 2
        passing = (degrees * passing + squares) / (degrees + own.degrees)
        degrees += own.degrees
    if count == 1:
        return LASTING_SHARE * published + passing
    mean, scatter = _mean(ordered, count), 0.0
    for reading in ordered:
        scatter += (reading - mean) * (reading - mean)
    passing = (degrees * passing + scatter) / (degrees + count - 1)
    shrink = MEDIAN_OF_THREE**2 if count == 3 else 1.0 / count
    return LASTING_SHARE * published + passing * shrink


def _unsteady(spread: float, allowed: float) -> float:
    """Variance that three readings add which spread over more than twice the tolerance."""
    # readings come in steps of a scale: a spread of exactly what is allowed is within it
    return (spread / 2.0) * (spread / 2.0) if spread > 2.0 * allowed + 1e-9 else 0.0


def accept(
    name: str,
    readings: Sequence[float],
    *,
    is_at_least: bool = False,
    allowed: float | None = None,
    own: OwnError | None = None,
    layer: Layer | None = None,
) -> Accepted:
    """Return the accepted value of one site.

    Parameters
    ----------
    name : str
        A measured quantity.
    readings : sequence of float
        One to three readings in the quantity's unit, in the order taken.
    is_at_least : bool
        Whether any reading stopped at the end of the scale.
    allowed : float, optional
        How far two readings may differ, in the quantity's unit; left out, the usual tolerance.
    own : OwnError, optional
        The tester's own error of this site, if it is known.
    layer : Layer, optional
        Clothing that the tape went over: its mean is taken off, its spread joins the error.

    Returns
    -------
    Accepted
        The reading itself, the mean of two, or the median of three, with its standard error.

    Raises
    ------
    ValueError
        If there are no readings or more than three.

    Notes
    -----
    The variance of one reading is the published one, pooled with the scatter of the repeats. One part
    of it (``LASTING_SHARE``) stays whatever the number of readings. A tester's own error replaces the
    other part, pooled by its degrees of freedom: repeats within minutes say nothing of marks, other
    testers and other days.

    Examples
    --------
    >>> accept("triceps_mm", [21.0, 21.5]).value
    21.25
    >>> accept("triceps_mm", [18.0, 21.0, 18.5]).value
    18.5
    """
    count = len(readings)
    if not 1 <= count <= 3:
        raise ValueError(f"{name}: one to three readings, not {count}")
    ordered = sorted(readings)
    value = _middle(ordered, count)
    spread = ordered[-1] - ordered[0]
    variance = _variance(name, value, ordered, own)
    if allowed is None:
        allowed = float(tolerance(name, _mean(ordered, count))) if count > 1 else 0.0
    unsteady = _unsteady(spread, allowed) if count == 3 else 0.0
    variance += unsteady
    if is_at_least:
        variance += (SCALE_END_SHARE * value) * (SCALE_END_SHARE * value)
        value *= 1.0 + SCALE_END_SHARE
    if layer is not None:
        value -= layer.mean
        variance += layer.sd**2
    wants_third = count == 2 and spread > allowed + 1e-9 and not is_at_least
    return Accepted(
        name, value, math.sqrt(variance), spread, count, unsteady > 0.0, is_at_least, wants_third
    )


@dataclass(frozen=True, slots=True, repr=False)
class AcceptedColumn:
    """What the readings of one site come to for N people, (N,) each; NaN where there is none."""

    value: Array
    se: Array
    at_least: BoolArray


def accept_column(name: str, readings: Sequence[Array], at_least: BoolArray) -> AcceptedColumn:
    """Return the accepted values of one site for N people: ``accept`` for a column.

    Parameters
    ----------
    name : str
        A measured quantity.
    readings : sequence of one to three arrays (N,)
        In the quantity's unit, NaN where a reading was not taken.
    at_least : bool array (N,)
        Whether any reading stopped at the end of the scale.

    Notes
    -----
    The same steps as ``accept`` in the same order, so that a row and its visit get the same bits;
    without a tester's own error and without clothing, for which a table has no column.
    """
    error = technical_error(name)
    value, variance = readings[0], None
    if len(readings) > 1:
        value, variance = _accept_repeats(name, np.sort(np.stack(readings), axis=0))
    if variance is None:
        se = error.share * value
        np.maximum(error.floor, se, out=se)
        if not at_least.any():
            return AcceptedColumn(value, se, at_least)
        variance = se * se
    thicker = SCALE_END_SHARE * value
    variance = np.where(at_least, variance + thicker * thicker, variance)
    value = np.where(at_least, value * (1.0 + SCALE_END_SHARE), value)
    return AcceptedColumn(value, np.sqrt(variance), at_least)


def _accept_repeats(name: str, ordered: Array) -> tuple[Array, Array]:
    """Accepted value and variance of readings (K, N) in rising order, NaN last."""
    error = technical_error(name)
    taken = ~np.isnan(ordered)
    count = taken.sum(axis=0)
    total = ordered[0]
    for reading, is_there in zip(ordered[1:], taken[1:], strict=True):
        total = np.where(is_there, total + reading, total)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = total / count
        value = np.where(count == 3, ordered[1], mean)
        largest = np.fmax.reduce(ordered, axis=0)
        spread = largest - ordered[0]
        error_of_reading = np.maximum(error.floor, error.share * value)
        published = error_of_reading * error_of_reading
        scatter = np.zeros_like(value)
        for reading in ordered:
            away = np.where(np.isnan(reading), 0.0, reading - mean)
            scatter = scatter + away * away
        passing = (1.0 - LASTING_SHARE) * published
        pooled = (PRIOR_DEGREES * passing + scatter) / (PRIOR_DEGREES + count - 1)
        passing = np.where(count > 1, pooled, passing)
        shrink = np.where(count == 3, MEDIAN_OF_THREE**2, 1.0 / count)
        variance = LASTING_SHARE * published + passing * shrink
        unsteady = (count == 3) & (spread > 2.0 * tolerance(name, mean) + 1e-9)
        variance = np.where(unsteady, variance + (spread / 2.0) * (spread / 2.0), variance)
    return value, variance
