"""Readings: from one to three readings of a site to its accepted value and standard error."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foldspan.protocol.clothing import Layer
from foldspan.protocol.technical_error import TOLERANCE, technical_error
from foldspan.quantities import BY_NAME

# A client's own two or three repeats say little about the tester: one or two degrees of freedom.
# They are pooled with the published error, which counts as this many degrees of freedom.
PRIOR_DEGREES = 4.0
# SD of the median of three normal readings, in SDs of one (Lieblein 1952; 400,000 simulated triples).
MEDIAN_OF_THREE = 0.67
# What repeats cannot show: mark, landmark and day stay the same for all readings of a visit. Half of
# the published variance is taken to be of that kind (our proposal).
LASTING_SHARE = 0.5
# What rounding to a mark of the scale alone makes [unit of the kind]: marks of 0.5 mm and 0.1 cm or kg.
ROUNDING = {
    kind: mark / math.sqrt(12.0)
    for kind, mark in (
        ("skinfold", 0.5), ("girth", 0.1), ("breadth", 0.1), ("mass", 0.1), ("height", 0.1),
    )
}  # fmt: skip
# A reading that stopped at the calliper's end means "at least": the fold is taken this much thicker,
# give or take as much (our proposal).
SCALE_END_SHARE = 0.10


@dataclass(frozen=True, slots=True)
class OwnError:
    """A tester's own technical error of one site, from repeats of many clients.

    ``relative`` is a share of the reading, ``degrees`` are those of freedom it was reckoned with.
    """

    relative: float
    degrees: float


@dataclass(frozen=True, slots=True)
class Accepted:
    """What the readings of one site come to, in the quantity's unit.

    ``spread`` is the largest minus the smallest reading; ``is_unsteady`` marks three readings
    that spread over more than twice the tolerance; ``is_at_least`` a reading at the end of scale;
    ``wants_third`` two readings further apart than the tolerance.
    """

    name: str
    value: float
    se: float
    spread: float
    readings: int
    is_unsteady: bool
    is_at_least: bool
    wants_third: bool = False


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
    value = ordered[1] if count == 3 else sum(ordered) / count
    spread = ordered[-1] - ordered[0]
    published = technical_error(name).of(value) ** 2
    mean = sum(ordered) / count
    scatter = sum((reading - mean) ** 2 for reading in ordered)
    passing, degrees = (1.0 - LASTING_SHARE) * published, PRIOR_DEGREES
    if own is not None:
        squares = own.degrees * max(own.relative * value, ROUNDING[BY_NAME[name].kind]) ** 2
        passing = (degrees * passing + squares) / (degrees + own.degrees)
        degrees += own.degrees
    if count > 1:
        passing = (degrees * passing + scatter) / (degrees + count - 1)
    shrink = MEDIAN_OF_THREE**2 if count == 3 else 1.0 / count
    variance = LASTING_SHARE * published + passing * shrink
    if allowed is None:
        allowed = TOLERANCE[BY_NAME[name].kind]
    # readings come in steps of a scale: a spread of exactly what is allowed is within it
    is_unsteady = count == 3 and spread > 2.0 * allowed + 1e-9
    if is_unsteady:
        variance += (spread / 2.0) ** 2
    if is_at_least:
        variance += (SCALE_END_SHARE * value) ** 2
        value *= 1.0 + SCALE_END_SHARE
    if layer is not None:
        value -= layer.mean
        variance += layer.sd**2
    wants_third = count == 2 and spread > allowed + 1e-9 and not is_at_least
    return Accepted(
        name, value, math.sqrt(variance), spread, count, is_unsteady, is_at_least, wants_third
    )
