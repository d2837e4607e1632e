"""Figure of the agreement: what every method says, each with its own range, the answer behind them."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import Any

from foldspan.figures.style import (
    BAR,
    MARGIN,
    QUIET,
    Backdrop,
    Shape,
    answer,
    axis_name,
    dot,
    lines_of,
    percent_span,
    row_plane,
    sheet,
    spare_ticks,
)

NOTE = 0.2  # inches a line of a note


@dataclass(frozen=True, slots=True)
class MethodRow:
    """One method: its estimate [% fat] with its own 80 % range; several that were not used, hollow."""

    label: str
    value: str
    estimates: tuple[float, ...]
    range_80: tuple[float, float] | None
    is_used: bool = True


@dataclass(frozen=True, slots=True)
class Agreement:
    """What the picture shows; ``notes`` are lines below it, such as what fell out and why."""

    rows: tuple[MethodRow, ...]
    behind: Backdrop
    axis: str
    notes: tuple[str, ...] = ()


def draw_agreement(data: Agreement, shape: Shape) -> Any:
    """Return the picture as a figure."""
    ends = [end for method in data.rows for end in (*method.estimates, *(method.range_80 or ()))]
    notes = [line for note in data.notes for line in textwrap.wrap(note, shape.letters)]
    below = NOTE * len(notes) + (0.1 if notes else 0.0)
    labels = [(method.label, method.value) for method in data.rows]
    figure = sheet(shape, shape.height(len(labels), lines_of(shape, labels)) + below)
    plane = row_plane(figure, shape, labels, bottom=below)
    plane.set_xlim(*percent_span(*ends, *data.behind.range_95))
    spare_ticks(plane, shape)
    answer(plane, shape, data.behind)
    for place, method in enumerate(data.rows):
        if method.range_80 is not None:
            plane.plot(method.range_80, [place, place], color=BAR, linewidth=1.6)
        dot(plane, method.estimates, [place] * len(method.estimates), is_full=method.is_used)
    axis_name(plane, shape, data.axis)
    for order, note in enumerate(reversed(notes)):
        figure.text(MARGIN / shape.width, (0.1 + NOTE * order) / figure.get_figheight(), note,
                    fontsize=shape.size - 1, color=QUIET, va="bottom")  # fmt: skip
    return figure
