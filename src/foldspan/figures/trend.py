"""Figure of the trend: the range of each visit over time, real changes and others told apart."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from foldspan.figures.style import (
    BAR,
    GRID,
    LETTER,
    LIKELY_TINT,
    MARGIN,
    POINTS,
    QUIET,
    RULE,
    Shape,
    dot,
    percent_span,
    sheet,
)

ROWS = 3  # it is as tall as a picture of so many rows
ROOM_FOR_WORDS = 5.0  # points of the axis kept free for the words of the whole


@dataclass(frozen=True, slots=True)
class Point:
    """One visit: its day and its own range."""

    day: datetime.date
    label: str
    estimate: float
    range_80: tuple[float, float]


@dataclass(frozen=True, slots=True)
class BetweenVisits:
    """What lies between two visits: whether it is real, and its words."""

    words: str
    is_real: bool
    is_drawn: bool = True


@dataclass(frozen=True, slots=True)
class WholeCourse:
    """What is real over all visits, where no step by itself is: how much in all, and its words."""

    amount: float
    words: str


@dataclass(frozen=True, slots=True)
class TrendPicture:
    """What the picture shows: the visits, one leg fewer, and what is real over all of them."""

    points: tuple[Point, ...]
    steps: tuple[BetweenVisits, ...]
    axis: str
    whole: WholeCourse | None = None


def draw_trend(data: TrendPicture, shape: Shape) -> Any:
    """Return the picture as a figure."""
    figure = sheet(shape, shape.height(ROWS))
    left, right = 0.42 / shape.width, 1.0 - MARGIN / shape.width
    plane = figure.plane((left, 0.2, right - left, 0.66))
    days = _places([point.day for point in data.points])
    low, high = percent_span(*(end for point in data.points for end in point.range_80))
    plane.set_ylim(low, high if data.whole is None else high + ROOM_FOR_WORDS)
    plane.set_xlim(-0.12, 1.12)
    # whole percents: no sign of a decimal, which is written otherwise in every language
    plane.number_y(shape.size, QUIET, grid=GRID)
    labels = _labels(days, [point.label for point in data.points], 0.62 / shape.width)
    plane.number_x(shape.size, QUIET, places=days, names=labels, length=0.0)
    # a ribbon from range to range, with the ranges themselves as its thin ends
    lows, highs = zip(*(point.range_80 for point in data.points), strict=True)
    rim = [*zip(days, lows, strict=True), *reversed([*zip(days, highs, strict=True)])]
    plane.fill(rim, color=LIKELY_TINT, linewidth=0, zorder=0)
    for place, point in zip(days, data.points, strict=True):
        plane.plot([place, place], point.range_80, color=BAR, linewidth=2.5, solid_capstyle="butt")
    for (before, after), (first, second), step in zip(
        pairwise(days),
        pairwise(data.points),
        data.steps,
        strict=True,
    ):
        plane.plot(
            [before, after], [first.estimate, second.estimate],
            color=RULE if step.is_real else QUIET, linewidth=2.2 if step.is_real else 1.2,
            linestyle="-" if step.is_real else (0, (2, 3)), alpha=1.0 if step.is_drawn else 0.0,
        )  # fmt: skip
        room = (after - before) / 1.24 * shape.width * (right - left)
        words = _fitting(step.words, room - 0.2, shape)
        plane.write(
            words, (before + after) / 2.0, (first.estimate + second.estimate) / 2.0,
            shift=(0.0, 7.0), ha="center", va="bottom", fontsize=shape.size,
            color=RULE if step.is_real else QUIET,
        )  # fmt: skip
    if data.whole is not None:
        _through_all(plane, shape, days, data)
    for place, point in zip(days, data.points, strict=True):
        dot(plane, [place], [point.estimate])
    plane.title(data.axis, shape.size, QUIET)
    return figure


def _through_all(plane: Any, shape: Shape, days: Sequence[float], data: TrendPicture) -> None:
    """Draw what is real over all visits as one thick line through their middle, with its words."""
    assert data.whole is not None
    place = sum(days) / len(days)
    middle = sum(point.estimate for point in data.points) / len(data.points)
    ends = [middle + data.whole.amount * (x - place) for x in (0.0, 1.0)]
    plane.plot([0.0, 1.0], ends, color=RULE, linewidth=2.2)
    # in the corner that the line leaves free
    corner, side = (0.99, "right") if data.whole.amount < 0.0 else (0.01, "left")
    plane.write(
        data.whole.words, corner, 1.0, place=plane.of_frame, shift=(0.0, -2.0), ha=side, va="top",
        fontsize=shape.size, color=RULE,
    )  # fmt: skip


def _places(days: Sequence[datetime.date]) -> list[float]:
    """Where each day stands between the first and the last, 0 to 1."""
    span = (days[-1] - days[0]).days
    return [(day - days[0]).days / span for day in days]


def _labels(places: Sequence[float], labels: Sequence[str], room: float) -> list[str]:
    """Leave out labels that would stand in another; the first and the last always stay."""
    kept = [labels[0], *[""] * (len(labels) - 2), labels[-1]]
    last = places[0]
    for order in range(1, len(labels) - 1):
        if places[order] - last >= room and places[-1] - places[order] >= room:
            kept[order], last = labels[order], places[order]
    return kept


def _fitting(words: str, room: float, shape: Shape) -> str:
    """Return the words of a leg if they fit between its visits, their first part, or none [inches]."""
    letters = room * POINTS / (shape.size * LETTER)
    first = words.partition(" (")[0]
    return next((text for text in (words, first) if len(text) <= letters), "")
