"""Curves of the figure as points: paths sampled, mirrored, and crossed by straight lines."""

from __future__ import annotations

import re
from functools import cache
from typing import Literal, NamedTuple

import numpy as np

from foldspan.protocol.body.outline import HALF_OUTLINE, SIDE_OUTLINE

View = Literal["front", "back", "side"]
VIEWS: tuple[View, ...] = ("front", "back", "side")
Curve = np.ndarray[tuple[int, int], np.dtype[np.float64]]
# points on each cubic curve: a chord then lies within 0.1 mm of it
_STEPS = np.linspace(0.0, 1.0, 25)[1:, None]


class Point(NamedTuple):
    """A point of a view [cm]: x from the midline to the viewer's right, y down from the vertex."""

    x: float
    y: float

    def towards(self, other: Point, share: float) -> Point:
        """Return the point at a share of the way to another."""
        return Point(self.x + share * (other.x - self.x), self.y + share * (other.y - self.y))

    def moved(self, distance: float, angle: float) -> Point:
        """Return the point so many cm away; ``angle`` in degrees, 0 to the right, 90 down."""
        turn = np.deg2rad(angle)
        return Point(
            self.x + distance * float(np.cos(turn)), self.y + distance * float(np.sin(turn))
        )

    def angle_to(self, other: Point) -> float:
        """Return the direction to another point [degrees], 0 to the right, 90 down."""
        return float(np.rad2deg(np.arctan2(other.y - self.y, other.x - self.x)))


def silhouette(view: View) -> str:
    """Return the outline of a view as one closed path without its Z, the half of it mirrored."""
    if view == "side":
        return SIDE_OUTLINE
    there = np.array(re.findall(r"-?[\d.]+", HALF_OUTLINE), dtype=np.float64).reshape(-1, 2)
    back = (there[-2::-1] * (-1.0, 1.0)).reshape(-1, 6)
    mirrored = (" ".join(f"{number:g}" for number in curve + 0.0) for curve in back)
    return f"{HALF_OUTLINE} C {' C '.join(mirrored)}"


def sampled(path: str) -> Curve:
    """Return points along a path of M, C and L, shape (points, 2)."""
    parts: list[Curve] = []
    for letter, text in re.findall(r"([MCL])([^MCL]*)", path):
        given = np.array(text.split(), dtype=np.float64).reshape(-1, 2)
        if letter == "C":
            last, (first, second, end) = parts[-1][-1], given
            t, back = _STEPS, 1.0 - _STEPS
            given = (
                back**3 * last + 3.0 * back**2 * t * first + 3.0 * back * t**2 * second + t**3 * end
            )
        parts.append(given)
    return np.concatenate(parts)


@cache
def outline(view: View) -> Curve:
    """Return the silhouette of a view as a closed polygon, shape (points, 2); not to be written to."""
    points = sampled(silhouette(view))
    points.setflags(write=False)
    return points


def across(view: View, at: Point, angle: float) -> tuple[Point, Point]:
    """Return where a line through a point inside a view meets the skin next to it on either side.

    Parameters
    ----------
    angle : float
        Direction of the line [degrees], 0 to the right, 90 down.

    Raises
    ------
    ValueError
        For a point outside the silhouette, whose line does not meet it on both sides.
    """
    start = outline(view) - np.array(at)
    turn = np.deg2rad(angle)
    along = start[:, 0] * np.cos(turn) + start[:, 1] * np.sin(turn)
    beside = start[:, 1] * np.cos(turn) - start[:, 0] * np.sin(turn)
    next_along, next_beside = np.roll(along, -1), np.roll(beside, -1)
    passes = (beside < 0.0) != (next_beside < 0.0)
    rise = np.where(passes, beside - next_beside, 1.0)
    met = (along + (next_along - along) * beside / rise)[passes]
    if not (met < 0.0).any() or not (met > 0.0).any():
        raise ValueError(f"no skin on both sides of {at} in the {view} view")
    return at.moved(float(met[met < 0.0].max()), angle), at.moved(
        float(met[met > 0.0].min()), angle
    )
