"""The person as SVG, and the signs for a fold, a girth, a breadth, the height and the weight.

Lengths in millimetres of the figure. Strokes carry classes and plain attributes, no style: a page
colours them by ``currentColor`` and one accent, and a file shows the same without a page.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement

from foldspan.figures.style import RULE
from foldspan.protocol.body import outline
from foldspan.protocol.body.curves import Point, View, silhouette
from foldspan.protocol.body.place import Line, Place

MM = 10.0
"""Millimetres a centimetre."""
# how far a tape is seen from above: the height of its ellipse for its width; our choice
_TILT = 0.17
_STROKES: dict[str, dict[str, str]] = {
    "body-outline": {"stroke": "currentColor"},
    "body-line": {"stroke": "currentColor", "stroke-opacity": "0.5"},
    "body-guide": {"stroke": "currentColor", "stroke-opacity": "0.75"},
    "body-leader": {"stroke": "currentColor", "stroke-opacity": "0.6"},
    "body-mark": {"stroke": RULE},
    "body-hidden": {"stroke": RULE},
}


def number(value: float) -> str:
    """Return a length as SVG has it: a hundredth is enough, also where the unit is a centimetre."""
    return f"{round(value, 2) + 0.0:g}"


def element(parent: Element, tag: str, words: str = "", **given: str | float) -> Element:
    """Add an element; ``class_`` is its class, numbers are lengths, underscores stand for hyphens."""
    attributes = {
        name.rstrip("_").replace("_", "-"): value if isinstance(value, str) else number(value)
        for name, value in given.items()
    }
    made = SubElement(parent, tag, attributes)
    made.text = words or None
    return made


# what has a mirror image, and what has none
_HALVES: dict[View, tuple[str, ...]] = {
    "front": (*outline.FRONT_LINES, *outline.HALF_LINES),
    "back": (*outline.BACK_LINES, *outline.HALF_LINES),
    "side": (),
}
_MIDDLE: dict[View, tuple[str, ...]] = {
    "front": outline.FRONT_MIDDLE,
    "back": outline.BACK_MIDDLE,
    "side": outline.SIDE_LINES,
}


class Pen:
    """Draws one view on a sheet: where its midline and vertex stand, and how thick a line is."""

    def __init__(self, sheet: Element, x: float, y: float, thick: float, reach: float) -> None:
        """``x``, ``y`` and ``thick`` in mm; ``reach`` is the length of the sign of a fold in cm."""
        self.sheet, self.x, self.y, self.thick, self.reach = sheet, x, y, thick, reach

    def at(self, point: Point) -> tuple[float, float]:
        """Return where a point of the figure stands on the sheet [mm]."""
        return self.x + MM * point.x, self.y + MM * point.y

    def path(self, kind: str, text: str, weight: float = 1.0, dash: str = "") -> None:
        """Draw a path in mm of the sheet."""
        dashed = {"stroke-dasharray": dash} if dash else {}
        element(
            self.sheet, "path", class_=kind, d=text, fill="none", stroke_width=self.thick * weight,
            stroke_linecap="round", stroke_linejoin="round", **_STROKES[kind], **dashed,
        )  # fmt: skip

    def line(self, kind: str, ends: Line, weight: float = 1.0, *, is_dashed: bool = False) -> None:
        """Draw a straight line between two points of the figure."""
        (x1, y1), (x2, y2) = map(self.at, ends)
        dash = f"{number(2.5 * self.thick)} {number(2.5 * self.thick)}" if is_dashed else ""
        self.path(kind, f"M {number(x1)} {number(y1)} L {number(x2)} {number(y2)}", weight, dash)

    def ring(self, point: Point) -> None:
        """Draw a small ring round a landmark."""
        x, y = self.at(point)
        element(
            self.sheet, "circle", class_="body-landmark", cx=x, cy=y, r=2.2 * self.thick,
            fill="none", stroke="currentColor", stroke_width=self.thick,
        )  # fmt: skip

    # --- the person ---

    def person(self, view: View) -> None:
        """Draw the person: a tint, the inner lines, the outline."""
        place = f"translate({number(self.x)} {number(self.y)}) scale({number(MM)})"
        group = element(self.sheet, "g", class_="body-person", transform=place, fill="none")
        pen = Pen(group, 0.0, 0.0, self.thick / MM, 0.0)
        skin = " ".join(silhouette(view).split()) + " Z"
        element(group, "path", class_="body-skin", d=skin, fill="currentColor", fill_opacity="0.06")
        halves, middle = " ".join(_HALVES[view]), " ".join(_MIDDLE[view])
        pen.path("body-line", f"{halves} {middle}".strip(), 0.8)
        if halves:
            pen.sheet = element(group, "g", transform="scale(-1 1)")
            pen.path("body-line", halves, 0.8)
        pen.sheet = group
        pen.path("body-outline", skin)

    # --- the signs ---

    def sign(self, place: Place) -> None:
        """Draw the sign of what is measured at a place."""
        signs = {
            "skinfold": self._fold, "girth": self._tape, "breadth": self._bar,
            "height": self._headboard, "mass": self._scale,
        }  # fmt: skip
        signs[place.kind](place)

    def _fold(self, place: Place) -> None:
        """The crest of the fold, and across it the mark."""
        half, across = self.reach / 2.0, self.reach / 5.0
        for length, turn in ((half, 0.0), (across, 90.0)):
            angle = place.angle + turn
            ends = place.at.moved(-length, angle), place.at.moved(length, angle)
            self.line("body-mark", ends, 2.4)

    def _tape(self, place: Place) -> None:
        """The near half of the tape solid, what runs behind dashed."""
        assert place.ends is not None
        left, right = sorted(place.ends)
        (x1, y1), (x2, y2) = self.at(left), self.at(right)
        wide = float(((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5) / 2.0
        turn = number(left.angle_to(right))
        for kind, sweep, dash in (("body-mark", 0, ""), ("body-hidden", 1, "dashed")):
            gap = number(3.0 * self.thick)
            self.path(
                kind,
                f"M {number(x1)} {number(y1)} A {number(wide)} {number(_TILT * wide)} {turn} 0"
                f" {sweep} {number(x2)} {number(y2)}",
                2.4 if not sweep else 1.6,
                f"{gap} {gap}" if dash else "",
            )

    def _bar(self, place: Place) -> None:
        """A bar between the two points, a jaw at each."""
        assert place.ends is not None
        self.line("body-mark", place.ends, 2.4)
        for end in place.ends:
            jaw = self.reach / 3.5
            ends = end.moved(-jaw, place.angle + 90.0), end.moved(jaw, place.angle + 90.0)
            self.line("body-mark", ends, 2.4)

    def _headboard(self, place: Place) -> None:
        """The headboard on the vertex, the upright behind the back."""
        x, y = place.at
        corner = Point(x - 13.5, y)
        self.line("body-mark", (corner, Point(x + 10.0, y)), 2.4)
        self.line("body-mark", (corner, Point(corner.x, y + 12.0)), 2.4)

    def _scale(self, place: Place) -> None:
        """The scale under the feet."""
        (left, top), (right, foot) = (
            self.at(place.at.moved(side, 0.0).moved(down, 90.0))
            for side, down in ((-19.0, 0.6), (19.0, 4.2))
        )
        element(
            self.sheet, "rect", class_="body-mark", x=left, y=top, width=right - left,
            height=foot - top, rx=10.0, fill="none", stroke=RULE, stroke_width=2.0 * self.thick,
        )  # fmt: skip
