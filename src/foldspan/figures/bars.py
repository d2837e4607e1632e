"""Figures of rows: where the uncertainty comes from, what would narrow it, how the sites compare."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from foldspan.figures.style import (
    BAR,
    INK,
    PALE,
    QUIET,
    RULE,
    Shape,
    axis_name,
    dot,
    lines_of,
    row_plane,
    sheet,
    usual_ticks,
)


@dataclass(frozen=True, slots=True)
class Bar:
    """One row: a bar from zero to ``size``."""

    label: str
    value: str
    size: float


@dataclass(frozen=True, slots=True)
class Bars:
    """Rows of bars; ``mark`` is an upright line such as the width now, with its label."""

    rows: tuple[Bar, ...]
    axis: str
    mark: float | None = None
    mark_label: str = ""


@dataclass(frozen=True, slots=True)
class SiteRow:
    """One site: what was taken, and the centiles it is held against; none without a reference."""

    label: str
    value: str
    reading: float
    centiles: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Profile:
    """Sites of one kind in one unit."""

    rows: tuple[SiteRow, ...]
    axis: str
    title: str


def draw_bars(data: Bars, shape: Shape) -> Any:
    """Return the picture as a figure."""
    labels = [(row.label, row.value) for row in data.rows]
    lines, has_head = lines_of(shape, labels), data.mark is not None
    figure = sheet(shape, shape.height(len(labels), lines, has_head=has_head))
    plane = row_plane(figure, shape, labels)
    most = max([row.size for row in data.rows] + [data.mark or 0.0])
    # room at the right of a mark, so that it does not run through what the rows come to
    plane.set_xlim(0.0, (1.04 if data.mark is None else 1.35) * most)
    usual_ticks(plane, shape)
    for place, row in enumerate(data.rows):
        plane.plot([0.0, row.size], [place, place], color=INK, linewidth=6, solid_capstyle="butt")
    if data.mark is not None:
        plane.upright(data.mark, color=RULE, linewidth=1.4)
        plane.write(data.mark_label, data.mark, 1.0, place=plane.across, shift=(0.0, 4.0),
                    ha="right", va="bottom", fontsize=shape.size, color=RULE)  # fmt: skip
    axis_name(plane, shape, data.axis)
    return figure


def draw_profile(panels: Sequence[Profile], shape: Shape) -> Any:
    """Return the profiles, one panel under the other, as a figure."""
    written = [[(row.label, row.value) for row in panel.rows] for panel in panels]
    tall = [shape.height(len(rows), lines_of(shape, rows)) for rows in written]
    figure = sheet(shape, sum(tall))
    below = sum(tall)
    for data, labels, height in zip(panels, written, tall, strict=True):
        below -= height
        plane = row_plane(figure, shape, labels, bottom=below)
        plane.set_xlim(0.0, 1.04 * max(max((row.reading, *row.centiles)) for row in data.rows))
        usual_ticks(plane, shape)
        for place, row in enumerate(data.rows):
            if row.centiles:
                lowest, _, low, _, high, _, highest = row.centiles
                for ends, colour in (((lowest, highest), PALE), ((low, high), BAR)):
                    plane.plot(ends, [place, place], color=colour, linewidth=5,
                              solid_capstyle="butt")  # fmt: skip
            dot(plane, [row.reading], [place])
        plane.write(data.title, 0.0, 1.0, place=plane.of_frame, shift=(0.0, 6.0), va="bottom",
                    fontsize=shape.size + 1, color=QUIET)  # fmt: skip
        axis_name(plane, shape, data.axis)
    return figure
