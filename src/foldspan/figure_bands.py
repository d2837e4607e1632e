"""Figure of the health ruler: the bands of one standard on its own scale, the range behind them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from foldspan.figures import (
    INK,
    PALE,
    RULE,
    Backdrop,
    Shape,
    axis_name,
    backdrop,
    label_row,
    row_axis,
    sheet,
)

# how much of the axis is shown beyond the outermost limit, as a share of what lies between
BEYOND = 0.15


@dataclass(frozen=True, slots=True)
class Step:
    """One band: its ends, None where it is open, and its chance in words.

    An end is a pair where the standard has several columns and their limits differ.
    """

    label: str
    value: str
    low: tuple[float, float] | None
    high: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Ruler:
    """What the picture shows: the bands from low to high, and the range of the client."""

    steps: tuple[Step, ...]
    behind: Backdrop
    axis: str


def draw_ruler(data: Ruler, shape: Shape) -> Any:
    """Return the picture as a figure."""
    figure = sheet(shape, shape.height(len(data.steps)))
    axis = row_axis(figure, shape, len(data.steps))
    limits = [end for one in data.steps for pair in (one.low, one.high) if pair for end in pair]
    ends = [*limits, *data.behind.wide]
    room = BEYOND * (max(ends) - min(ends))
    axis.set_xlim(max(min(ends) - room, 0.0), max(ends) + room)
    backdrop(axis, shape, data.behind)
    left, right = axis.get_xlim()
    for place, one in enumerate(data.steps):
        low, high = one.low or (left, left), one.high or (right, right)
        axis.plot([low[0], high[1]], [place, place], color=PALE, linewidth=5,
                  solid_capstyle="butt")  # fmt: skip
        # what every column of the standard has in this band
        if low[1] < high[0]:
            axis.plot([low[1], high[0]], [place, place], color=INK, linewidth=5,
                      solid_capstyle="butt")  # fmt: skip
        for pair in (one.low, one.high):
            if pair is not None:
                axis.plot([sum(pair) / 2.0] * 2, [place - 0.16, place + 0.16], color=RULE,
                          linewidth=1.4)  # fmt: skip
        label_row(axis, shape, place, one.label, one.value)
    axis_name(axis, shape, data.axis)
    return figure
