"""Plane: one axis of a picture with only what our pictures draw, straight on the figure.

The drawing library's own axis makes and measures dozens of parts for every picture, most of which are
never seen; that took four fifths of the time of a page. Lines, letters and places are the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.markers import TICKDOWN
from matplotlib.patches import Polygon
from matplotlib.text import Text
from matplotlib.textpath import text_to_path
from matplotlib.ticker import Locator, MaxNLocator, ScalarFormatter
from matplotlib.transforms import (
    Affine2D,
    Bbox,
    BboxTransformTo,
    TransformedBbox,
    blended_transform_factory,
    offset_copy,
)

# points, as the drawing library has them: length and width of a tick, and what lies beside its number
TICK, TICK_WIDTH, PAD, NAME_PAD, TITLE_PAD = 3.5, 0.8, 3.5, 4.0, 6.0
# how an axis is numbered if nobody says otherwise: rooms of so many letters, steps, and at most so many
WIDE_ROOM, TALL_ROOM, MOST_STEPS = 3, 2, 9
STEPS = (1, 2, 2.5, 5, 10)
BEHIND, TICKS_ABOVE, LINE_ABOVE = 0.5, 2.01, 2.5  # what is drawn over what


class Sheet(Figure):
    """A figure that knows its planes."""

    def __init__(self, width: float, height: float) -> None:
        super().__init__(figsize=(width, height), facecolor="white")
        self.planes: list[Plane] = []

    def plane(self, box: tuple[float, float, float, float]) -> Plane:
        """Return a plane at left, bottom, width and height, as shares of the figure."""
        self.planes.append(Plane(self, box))
        return self.planes[-1]


class Plane:
    """A part of a figure with numbers along it; its lines, letters and patches can be looked at."""

    def __init__(self, figure: Sheet, box: tuple[float, float, float, float]) -> None:
        self.figure = figure
        self.lines: list[Line2D] = []
        """Lines and marks that were drawn, without those that number the plane."""
        self.texts: list[Text] = []
        """Words that were written."""
        self.patches: list[Polygon] = []
        """What was filled."""
        self.numbers_x: list[Text] = []
        """Numbers along the horizontal axis, or what stands in their place."""
        self.numbers_y: list[Text] = []
        """Numbers along the vertical axis."""
        self._box = box
        self._limits = {"x": (0.0, 1.0), "y": (0.0, 1.0)}
        self._frame = TransformedBbox(Bbox.from_bounds(*box), figure.transFigure)
        self.of_frame = BboxTransformTo(self._frame)
        """From shares of the plane to the figure."""
        self._scaled = Affine2D()
        self.of_data = self._scaled + self.of_frame
        """From numbers on its axes to the figure."""
        self.across = blended_transform_factory(self.of_data, self.of_frame)
        """From a number on the horizontal axis and a share of the height to the figure."""
        self.along = blended_transform_factory(self.of_frame, self.of_data)
        """From a share of the width and a number on the vertical axis to the figure."""

    def set_xlim(self, low: float, high: float) -> None:
        """Set the numbers at the left and right end."""
        self._set("x", low, high)

    def set_ylim(self, low: float, high: float) -> None:
        """Set the numbers at the bottom and the top."""
        self._set("y", low, high)

    def get_xlim(self) -> tuple[float, float]:
        """Return the numbers at the left and right end."""
        return self._limits["x"]

    def get_ylim(self) -> tuple[float, float]:
        """Return the numbers at the bottom and the top."""
        return self._limits["y"]

    def _set(self, way: str, low: float, high: float) -> None:
        self._limits[way] = float(low), float(high)
        (left, right), (bottom, top) = self._limits["x"], self._limits["y"]
        self._scaled.clear().translate(-left, -bottom).scale(
            1.0 / (right - left), 1.0 / (top - bottom)
        )

    def plot(
        self, x: Sequence[float], y: Sequence[float], *, place: Any = None, is_cut: bool = True,
        **look: Any,
    ) -> None:  # fmt: skip
        """Draw a line or marks; ``is_cut`` at the edges of the plane."""
        place = self.of_data if place is None else place
        self.lines.append(self._line(x, y, place, is_cut=is_cut, **look))

    def fill(
        self, corners: Sequence[tuple[float, float]], *, place: Any = None, **look: Any
    ) -> None:
        """Fill what lies between corners."""
        patch = Polygon(corners, transform=self.of_data if place is None else place, **look)
        self.patches.append(patch)
        self._add(patch, is_cut=True)

    def span(self, low: float, high: float, **look: Any) -> None:
        """Fill the whole height between two numbers."""
        corners = [(low, 0.0), (high, 0.0), (high, 1.0), (low, 1.0)]
        self.fill(corners, place=self.across, **look)

    def upright(self, x: float, **look: Any) -> None:
        """Draw a line over the whole height."""
        self.plot([x, x], [0.0, 1.0], place=self.across, **look)

    def level(self, y: float, **look: Any) -> None:
        """Draw a line over the whole width."""
        self.plot([0.0, 1.0], [y, y], place=self.along, **look)

    def write(
        self, words: str, x: float, y: float, *, place: Any = None,
        shift: tuple[float, float] = (0.0, 0.0), **look: Any,
    ) -> None:  # fmt: skip
        """Write words at a place, shifted by points."""
        place = self.of_data if place is None else place
        self.texts.append(self._text(words, (x, y), place, shift, **look))

    def number_x(
        self, size: float, colour: str, *, locator: Locator | None = None,
        places: Sequence[float] | None = None, names: Sequence[str] | None = None, grid: str = "",
        length: float = TICK,
    ) -> None:  # fmt: skip
        """Number the horizontal axis, its limits set before; at ``places``, or where it is usual.

        Parameters
        ----------
        size : float
            Of the numbers [points].
        colour, grid : str
            Of ticks and numbers, and of lines over the height; "" for no lines.
        locator : Locator, optional
            What chooses the places.
        places, names : sequence, optional
            Where ticks stand, and what stands at them.
        length : float
            Of a tick [points].
        """
        width = self.figure.get_figwidth() * self._box[2] * 72.0
        found, named = self._numbered("x", width / (WIDE_ROOM * size), locator, places, names)
        for x in found if grid else ():
            self._line([x, x], [0.0, 1.0], self.across, color=grid, linewidth=0.6, zorder=BEHIND)
        if length:
            self._line(
                found, [0.0] * len(found), self.across, is_cut=False, linestyle="none",
                marker=TICKDOWN, markersize=length, markeredgewidth=TICK_WIDTH, color=colour,
                zorder=TICKS_ABOVE,
            )  # fmt: skip
        self.numbers_x = [
            self._text(name, (x, 0.0), self.across, (0.0, -length - PAD), ha="center", va="top",
                       fontsize=size, color=colour)
            for x, name in zip(found, named, strict=True)
        ]  # fmt: skip
        self._line([0.0, 1.0], [0.0, 0.0], self.of_frame, is_cut=False, color=colour,
                   linewidth=TICK_WIDTH, solid_capstyle="projecting", zorder=LINE_ABOVE)  # fmt: skip

    def number_y(self, size: float, colour: str, *, grid: str) -> None:
        """Number the vertical axis in whole steps, with lines over the width and no ticks."""
        height = self.figure.get_figheight() * self._box[3] * 72.0
        locator = _usual(height / (TALL_ROOM * size), integer=True)
        found, named = self._numbered("y", 0.0, locator, None, None)
        for y in found:
            self._line([0.0, 1.0], [y, y], self.along, color=grid, linewidth=0.6, zorder=BEHIND)
        self.numbers_y = [
            self._text(name, (0.0, y), self.along, (-PAD, 0.0), ha="right", va="center_baseline",
                       fontsize=size, color=colour)
            for y, name in zip(found, named, strict=True)
        ]  # fmt: skip

    def name_x(self, words: str, size: float, colour: str) -> None:
        """Write below the numbers what the horizontal axis measures."""
        below = TICK + PAD + _line_height(size) + NAME_PAD
        self.write(words, 0.5, 0.0, place=self.of_frame, shift=(0.0, -below), ha="center", va="top",
                   fontsize=size, color=colour)  # fmt: skip

    def title(self, words: str, size: float, colour: str) -> None:
        """Write above the plane, from its left end."""
        self.write(words, 0.0, 1.0, place=self.of_frame, shift=(0.0, TITLE_PAD), ha="left",
                   va="baseline", fontsize=size, color=colour)  # fmt: skip

    def _numbered(
        self, way: str, room: float, locator: Locator | None, places: Sequence[float] | None,
        names: Sequence[str] | None,
    ) -> tuple[list[float], list[str]]:  # fmt: skip
        low, high = sorted(self._limits[way])
        if places is None:
            steps = _usual(room) if locator is None else locator
            places = [float(tick) for tick in steps.tick_values(low, high)]
            places = [tick for tick in places if low - 1e-9 <= tick <= high + 1e-9]
        if names is None:
            names = written(places, low, high)
        return list(places), list(names)

    def _line(
        self, x: Sequence[float], y: Sequence[float], place: Any, *, is_cut: bool = True,
        **look: Any,
    ) -> Line2D:  # fmt: skip
        line = Line2D(x, y, transform=place, **look)
        self._add(line, is_cut=is_cut)
        return line

    def _text(
        self, words: str, at: tuple[float, float], place: Any, shift: tuple[float, float],
        **look: Any,
    ) -> Text:  # fmt: skip
        moved = offset_copy(place, self.figure, *shift, units="points")
        text = Text(*at, words, transform=moved, **look)
        self._add(text, is_cut=False)
        return text

    def _add(self, artist: Any, *, is_cut: bool) -> None:
        if is_cut:
            artist.set_clip_box(self._frame)
        self.figure.add_artist(artist)


def _usual(room: float, *, integer: bool = False) -> MaxNLocator:
    """Return what chooses the places of a usual axis with room for so many numbers."""
    bins = min(max(int(room), 1), MOST_STEPS)
    return MaxNLocator(nbins=bins, steps=STEPS, integer=integer)


def written(places: Sequence[float], low: float, high: float) -> list[str]:
    """Return numbers as an axis from ``low`` to ``high`` shows them, all with the same decimals."""
    formatter = ScalarFormatter()
    formatter.create_dummy_axis()
    assert formatter.axis is not None
    formatter.axis.set_view_interval(low, high)
    return [str(name) for name in formatter.format_ticks(list(places))]


@cache
def _line_height(size: float) -> float:
    """Height of a line of letters [points]."""
    font = FontProperties(family="DejaVu Sans", size=size)
    return float(text_to_path.get_text_width_height_descent("lp", font, False)[1])
