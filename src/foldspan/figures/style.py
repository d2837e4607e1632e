"""Figures: one look for every picture, and the ways to write one; nothing is computed here.

Two blues and an ochre that people with any colour vision tell apart, also in grey; labels stand at what
they name, never in a legend; no colour judges a body.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from foldspan.extras import require
from foldspan.files.output import write_private
from foldspan.problems import FoldspanError, Problem

ENDINGS = (".png", ".svg", ".pdf")
INK, PALE, RULE = "#1f3a4d", "#8fb3c4", "#b5651d"
BAR = "#467a93"
# behind everything: where the truth is likely, and where it hardly ever is not
LIKELY_TINT, WIDE_TINT, GRID, QUIET = "#c9dde6", "#e9f1f5", "#e3e3e3", "#555555"
# parts of a line that lie side by side, none of them better
ZONES = ("#e4eaee", "#d3dfe6")
MARGIN = 0.14  # inches left and right of a picture
LIFT = 4.0  # points between a bar and its label
POINTS, LETTER = 72.0, 0.57  # points an inch, and how wide a letter is for its height


@dataclass(frozen=True, slots=True)
class Shape:
    """Where a picture will stand."""

    width: float
    """Its width [inches]."""
    size: float
    """The size of its text [points of print]."""
    row: float
    """The height of a row [inches]."""
    head: float
    """The height of what stands above the rows [inches]."""
    foot: float
    """The height of the axis below them [inches]."""
    as_text: bool = False
    """Whether text is kept as text."""

    @property
    def letters(self) -> int:
        """About how many letters stand side by side on it."""
        return int((self.width - 2.0 * MARGIN) * POINTS / (self.size * LETTER))

    def pitch(self, lines: int = 1) -> float:
        """Return the height of a row whose label has so many lines [inches]."""
        more = lines - 1
        return self.row + more * 1.25 * self.size / POINTS + (0.08 if more else 0.0)

    def height(self, rows: int, lines: int = 1, *, has_head: bool = True) -> float:
        """Return the height of a picture of so many rows, without a head where nothing is above them."""
        return (self.head if has_head else 0.05) + self.rise(rows, lines) + self.foot

    def top(self, lines: int = 1) -> float:
        """Return how far the first row's label reaches above its bar [rows]."""
        reach = (LIFT + 1.25 * lines * self.size) / POINTS
        return max(0.7, reach / self.pitch(lines) + 0.05)

    def rise(self, rows: int, lines: int = 1) -> float:
        """Return the height of so many rows alone [inches]."""
        return (rows - 0.3 + self.top(lines)) * self.pitch(lines)


SHAPES = {
    "page": Shape(6.9, 9.2, 0.35, 0.32, 0.5, as_text=True),
    "tight": Shape(6.9, 9.0, 0.3, 0.28, 0.44, as_text=True),
    "small": Shape(6.9, 9.0, 0.26, 0.26, 0.4, as_text=True),
    "screen": Shape(7.4, 10.5, 0.44, 0.42, 0.62),
    "phone": Shape(2.98, 9.0, 0.42, 0.4, 0.58),
}


@dataclass(frozen=True, slots=True)
class Backdrop:
    """The range behind a picture: its 80 % and 95 % ends, and what stands above it.

    ``mark`` is a single number that the label tells; a tip below the label points at it then.
    """

    range_80: tuple[float, float]
    range_95: tuple[float, float]
    label: str
    mark: float | None = None


def percent_span(*values: float) -> tuple[float, float]:
    """Return the ends of an axis in steps of five around some percentages, the same in each picture."""
    low, high = min(values), max(values)
    return max(5.0 * (low // 5.0), 0.0), 5.0 * (high // 5.0 + 1.0)


def sheet(shape: Shape, height: float) -> Any:
    """Return an empty figure of the shape, ``height`` in inches."""
    from foldspan.figures.plane import Sheet

    return Sheet(shape.width, height)


def row_plane(
    figure: Any, shape: Shape, labels: Sequence[tuple[str, str]], *, bottom: float = 0.0
) -> Any:
    """Return a plane with a label above each bar, at full width, and what it comes to at its right.

    ``labels`` has a label and a value for each row; ``bottom`` are inches kept free below the axis.
    """
    height, margin, rows = figure.get_figheight(), MARGIN / shape.width, len(labels)
    lines = lines_of(shape, labels)
    tall = shape.rise(rows, lines) / height
    plane = figure.plane((margin, (bottom + shape.foot) / height, 1.0 - 2.0 * margin, tall))
    plane.set_ylim(rows - 0.3, -shape.top(lines))
    for place, (label, value) in enumerate(labels):
        for x, words, side in ((0.0, _wrapped(shape, label, value), "left"), (1.0, value, "right")):
            plane.write(
                words, x, place, place=plane.along, shift=(0.0, LIFT), ha=side, va="bottom",
                fontsize=shape.size, color=INK,
            )  # fmt: skip
    return plane


def lines_of(shape: Shape, labels: Sequence[tuple[str, str]]) -> int:
    """Return how many lines the longest label takes beside its value."""
    return max(_wrapped(shape, *label).count("\n") + 1 for label in labels)


def _wrapped(shape: Shape, label: str, value: str) -> str:
    room = max(shape.letters - len(value) - 2, shape.letters // 3)
    return "\n".join(textwrap.wrap(label, room)) or label


def backdrop(plane: Any, shape: Shape, behind: Backdrop) -> None:
    """Draw the range behind the rows, with its label above it."""
    plane.span(*behind.range_95, color=WIDE_TINT, linewidth=0, zorder=0)
    plane.span(*behind.range_80, color=LIKELY_TINT, linewidth=0, zorder=0.1)
    # the ends as lines too: the shades alone are too near to white for weak eyes
    for ends, style in ((behind.range_80, "-"), (behind.range_95, (0, (1, 2)))):
        for end in ends:
            plane.upright(end, color=PALE, linewidth=1.0, linestyle=style, zorder=0.2)
    low, high = plane.get_xlim()
    middle = (sum(behind.range_80) / 2.0 - low) / (high - low)
    # a label near an end is kept on the picture
    side = "left" if middle < 0.3 else "right" if middle > 0.7 else "center"
    place = {"left": 0.0, "right": 1.0, "center": middle}[side]
    if behind.mark is not None:
        plane.plot(
            [behind.mark], [1.0], place=plane.across, is_cut=False, marker="v", markersize=7.0,
            color=INK,
        )  # fmt: skip
        # one number is short, so it can stay at its mark
        place = (behind.mark - low) / (high - low)
        side = "left" if place < 0.15 else "right" if place > 0.85 else "center"
    plane.write(
        behind.label, place, 1.0, place=plane.of_frame,
        shift=(0.0, 4.0 if behind.mark is None else 6.0), ha=side, va="bottom",
        fontsize=shape.size + 1, color=INK, fontweight="bold",
    )  # fmt: skip


def answer(plane: Any, shape: Shape, behind: Backdrop) -> None:
    """Draw the range as a dark bar along the top, the darkest thing, with its label above it.

    Below it the rows stand on a pale ground, so that each can be held against the answer.
    """
    plane.span(*behind.range_80, color=WIDE_TINT, linewidth=0, zorder=0)
    for ends, wide in ((behind.range_95, 2.0), (behind.range_80, 7.0)):
        plane.plot(
            ends, [1.0, 1.0], place=plane.across, is_cut=False, color=INK, linewidth=wide,
            solid_capstyle="butt",
        )  # fmt: skip
    low, high = plane.get_xlim()
    middle = (sum(behind.range_80) / 2.0 - low) / (high - low)
    plane.write(
        behind.label, min(max(middle, 0.12), 0.88), 1.0, place=plane.of_frame, shift=(0.0, 6.0),
        ha="center", va="bottom", fontsize=shape.size + 1, color=INK, fontweight="bold",
    )  # fmt: skip


def dot(plane: Any, x: Sequence[float], y: Sequence[float], *, is_full: bool = True) -> None:
    """Draw estimates as dots: with a white rim on their bar, or hollow."""
    plane.plot(x, y, linestyle="none", marker="o", markersize=5.5, color=INK if is_full else "white",
               markeredgecolor="white" if is_full else INK, markeredgewidth=1.0)  # fmt: skip


def axis_name(plane: Any, shape: Shape, words: str) -> None:
    """Write what the axis of a plane measures under it."""
    plane.name_x(words, shape.size, QUIET)


def usual_ticks(plane: Any, shape: Shape, *, grid: str = GRID) -> None:
    """Number an axis in as many steps as its letters have room for; its limits are set before."""
    plane.number_x(shape.size, QUIET, grid=grid)


def spare_ticks(plane: Any, shape: Shape, *, grid: str = GRID) -> None:
    """Number an axis in whole steps, about five of them: it is read at a glance, not measured on."""
    from matplotlib.ticker import MaxNLocator

    locator = MaxNLocator(nbins=5, steps=[1, 2, 5, 10], integer=True)
    plane.number_x(shape.size, QUIET, locator=locator, grid=grid)


def round_ticks(plane: Any, shape: Shape, point: str = ".") -> None:
    """Number an axis in steps of 1, 2 or 5, where the whole number fits on the picture.

    ``point`` is the decimal sign.
    """
    from matplotlib.ticker import MaxNLocator

    from foldspan.figures.plane import written

    low, high = plane.get_xlim()
    most = max(shape.letters // 8, 3)
    places = MaxNLocator(most, steps=[1, 2, 5, 10]).tick_values(low, high)
    inner = [place for place in places if low <= place <= high]
    names = [name.replace(".", point) for name in written(inner, low, high)]
    room = (shape.width - 2.0 * MARGIN) / (high - low)
    kept = [
        (place, name)
        for place, name in zip(inner, names, strict=True)
        if len(name) * shape.size * LETTER / POINTS / 2.0
        <= MARGIN + room * min(place - low, high - place)
    ]
    plane.number_x(
        shape.size, QUIET, places=[place for place, _ in kept], names=[name for _, name in kept],
        grid=GRID,
    )  # fmt: skip


@contextmanager
def _settings(*, as_text: bool) -> Iterator[None]:
    """Settings for one file: the same picture is the same file, no date and no random names."""
    require("pages")
    import matplotlib as mpl

    kept: Any = {
        "svg.hashsalt": "foldspan",
        "svg.fonttype": "none" if as_text else "path",
        "font.family": "DejaVu Sans",
        "text.parse_math": False,
    }
    with mpl.rc_context(kept):
        yield


Draw = Callable[[Shape], Any]
"""What draws one picture in a shape, and returns the figure."""


def as_svg(draw: Draw, shape: Shape) -> str:
    """Return a picture as SVG; letters as text, or as outlines that look alike everywhere."""
    out = io.StringIO()
    with _settings(as_text=shape.as_text):
        draw(shape).savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return out.getvalue()


def titled(svg: str, title: str, words: str) -> str:
    """Return an SVG that says what it is and what it shows, for whoever cannot see it."""
    named = f"<title>{escape(title)}</title><desc>{escape(words)}</desc>"
    start = svg.index(">", svg.index("<svg")) + 1
    return f'{svg[: start - 1]} role="img">{named}{svg[start:]}'


def as_image(draw: Draw, ending: str, title: str, words: str) -> bytes:
    """Return a picture as the bytes of a ``.png`` or ``.svg`` file; the latter says what it shows."""
    if ending == ".svg":
        return titled(as_svg(draw, SHAPES["screen"]), title, words).encode()
    out = io.BytesIO()
    with _settings(as_text=False):
        draw(SHAPES["screen"]).savefig(out, format="png", dpi=200)
    return out.getvalue()


def check_figure_ending(path: str) -> None:
    """Raise E307 for a name that does not end in .png, .svg or .pdf."""
    if Path(path).suffix.lower() not in ENDINGS:
        remedy = f"Use {', '.join(ENDINGS)}."
        raise FoldspanError([Problem("E307", path, "unknown file extension", remedy)])


@contextmanager
def save_figure(path: str, title: str, words: str, *, replace: bool = False) -> Iterator[Any]:
    """Lend the drawing library, then write the figure that was drawn last and close it.

    ``title`` and ``words`` say in an SVG what it is and what it shows.

    Raises
    ------
    FoldspanError
        E307 for an ending other than .png, .svg or .pdf, and as ``files.output.write_private``.
    """
    check_figure_ending(path)
    require("pages")
    import matplotlib as mpl

    mpl.use("Agg")
    from matplotlib import pyplot as plt

    # the same figure is the same file: no date, no random names
    mpl.rcParams["svg.hashsalt"] = "foldspan"
    kind = Path(path).suffix.lower()[1:]
    drawn = io.BytesIO()
    try:
        yield plt
        metadata = {"Date": None} if kind == "svg" else None
        plt.gcf().savefig(drawn, format=kind, dpi=150, metadata=metadata)
    finally:
        plt.close("all")
    content = drawn.getvalue()
    if kind == "svg":
        content = titled(content.decode(), title, words).encode()
    write_private(path, content, replace=replace)
