"""A site's place on the figure, and the rules by which one follows from landmarks and skin."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from foldspan.protocol.body.curves import Point, View, across, outline
from foldspan.protocol.body.landmarks import landmark
from foldspan.protocol.site_guide import SiteGuide
from foldspan.quantities import BY_NAME, Kind

Line = tuple[Point, Point]
# UNSURE: "just above" and "just below" of the guide are drawn as 1 cm; no source
JUST = 1.0


@dataclass(frozen=True, slots=True)
class Place:
    """Where one site lies in one view, in centimetres of the figure."""

    name: str
    variant: str
    view: View
    at: Point
    """The mark; of a girth or breadth the middle between its ends."""
    angle: float
    """Direction of the fold, the tape or the bar [degrees], 0 to the viewer's right, 90 down."""
    ends: Line | None = None
    """Where the tape passes out of sight, or where the jaws touch."""
    named: dict[str, Point] = field(default_factory=dict)
    """Landmarks that the guide names and this view shows."""
    lines: tuple[Line, ...] = ()
    """Lines that lead from the landmarks to the mark."""
    apart: str = ""
    """How far the mark lies from its landmark, where the guide says so."""
    way: Line | None = None
    """From landmark to landmark, where the mark stands at a share of the distance."""

    @property
    def kind(self) -> Kind:
        """What is measured here: a skinfold, a girth, a breadth, the height or the mass."""
        return BY_NAME[self.name].kind


def known(view: View, *names: str) -> dict[str, Point]:
    """Return landmarks of a view by their names."""
    return {name: landmark(view, name) for name in names}


def direction(guide: SiteGuide, view: View, along: float) -> float:
    """Return the direction of a fold from the words of its guide [degrees].

    ``along`` is what "vertical" means on a limb that is held out, or "along" on a line.
    """
    words = guide.direction
    if words.startswith("vertical") or "along" in words:
        return along
    if words in ("horizontal", "front to back"):
        return 0.0
    # from the front the client's right is the viewer's left
    to_the_right = {
        "down and outwards": view == "back",
        "down and inwards": view == "front",
        "down and forward": view == "side",
    }
    (runs_right,) = (right for end, right in to_the_right.items() if words.endswith(end))
    return 45.0 if runs_right else 135.0


def fold(
    guide: SiteGuide,
    view: View,
    at: Point,
    *names: str,
    lines: tuple[Line, ...] = (),
    along: float = 90.0,
) -> Place:
    """Return the place of a fold, with the landmarks that lead to it."""
    angle = direction(guide, view, along)
    return Place(guide.name, guide.variant, view, at, angle, named=known(view, *names), lines=lines)


def tape(
    guide: SiteGuide,
    view: View,
    at: Point,
    *names: str,
    angle: float = 0.0,
    lines: tuple[Line, ...] = (),
) -> Place:
    """Return the place of a girth whose tape passes through a point at an angle."""
    ends = across(view, at, angle)
    middle = ends[0].towards(ends[1], 0.5)
    named = known(view, *names)
    return Place(guide.name, guide.variant, view, middle, angle, ends, named, lines)


def share_of_way(guide: SiteGuide, view: View) -> tuple[Point, Line]:
    """Return the mark of a guide and the way on which it stands."""
    assert guide.mark is not None
    first, last = landmark(view, guide.mark.first), landmark(view, guide.mark.last)
    return first.towards(last, guide.mark.share), (first, last)


def where(
    pick: Callable[[np.ndarray], np.intp], view: View, first: Point, last: Point
) -> tuple[Point, float]:
    """Return where a part of the body is widest or narrowest between two points of its axis.

    Parameters
    ----------
    pick : function
        ``np.argmax`` for the widest place, ``np.argmin`` for the narrowest.

    Returns
    -------
    tuple of Point and float
        The point of the axis, and the direction at right angles to it [degrees].
    """
    angle = first.angle_to(last) - 90.0
    points = [first.towards(last, share) for share in np.linspace(0.0, 1.0, 81).tolist()]
    ends = [across(view, point, angle) for point in points]
    widths = np.array([np.hypot(b.x - a.x, b.y - a.y) for a, b in ends])
    return points[int(pick(widths))], angle


def furthest(pick: Callable[[np.ndarray], np.intp], top: float, foot: float) -> float:
    """Return at which level the body reaches furthest forward or back, seen from the side [cm]."""
    skin = outline("side")
    part = skin[(skin[:, 1] > top) & (skin[:, 1] < foot) & (np.abs(skin[:, 0]) < 15.0)]
    return float(part[pick(part[:, 0]), 1])
