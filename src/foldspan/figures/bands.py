"""Figure of the health ruler: the bands of one standard on its own scale, the range behind them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from foldspan.figures.style import (
    BAR,
    RULE,
    Backdrop,
    Shape,
    axis_name,
    backdrop,
    lines_of,
    round_ticks,
    row_plane,
    sheet,
)


@dataclass(frozen=True, slots=True)
class CategoryBand:
    """One band: its ends, None where it is open, and its chance in words."""

    label: str
    value: str
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class CategoryChart:
    """What the picture shows: the bands from low to high, the range of the client, ends of the axis."""

    steps: tuple[CategoryBand, ...]
    behind: Backdrop
    axis: str
    span: tuple[float, float]
    point: str = "."
    """The decimal sign of its language."""


def draw_category_chart(data: CategoryChart, shape: Shape) -> Any:
    """Return the picture as a figure."""
    labels = [(step.label, step.value) for step in data.steps]
    figure = sheet(shape, shape.height(len(labels), lines_of(shape, labels)))
    plane = row_plane(figure, shape, labels)
    plane.set_xlim(*data.span)
    round_ticks(plane, shape, data.point)
    backdrop(plane, shape, data.behind)
    for place, step in enumerate(data.steps):
        low = data.span[0] if step.low is None else step.low
        high = data.span[1] if step.high is None else step.high
        plane.plot([low, high], [place, place], color=BAR, linewidth=5, solid_capstyle="butt")
        for limit in (step.low, step.high):
            if limit is not None:
                plane.plot([limit] * 2, [place - 0.1, place + 0.1], color=RULE, linewidth=1.6)
    axis_name(plane, shape, data.axis)
    return figure
