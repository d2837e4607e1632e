"""Figure of twenty equally likely places as dots, above a line of numbers with named zones.

Who reads a chance off counted dots decides better than who reads it off an interval (Fernandes et al.
2018, doi 10.1145/3173574.3173718; Kay et al. 2016, doi 10.1145/2858036.2858558; both not verified in
print).
"""

from __future__ import annotations

import math
import textwrap
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from foldspan.figures.style import (
    GRID,
    INK,
    LETTER,
    MARGIN,
    PALE,
    POINTS,
    QUIET,
    ZONES,
    Shape,
    axis_name,
    sheet,
    spare_ticks,
)

# a column of dots for each half standard error: about five dots high in the middle
COLUMNS = 0.5
DOT, ROOM = 0.26, 0.05  # width of a dot, and what lies between two [inches]
STRIP, BRACKET = 0.42, 0.34  # least height of the zones, and of the bracket with its words [inches]
LINE, MOST_LINES = 1.25, 3  # height of a line for that of its letters, and how many a name may take
AROUND = 0.06  # what stays free beside a name [inches]
LEAST_SPAN = (
    12.0  # an axis no shorter than this keeps dots from looking wider apart than they are [%]
)


@dataclass(frozen=True, slots=True)
class Zone:
    """One part of the line: its ends, None where it is open, and its name."""

    name: str
    low: float | None
    high: float | None

    def holds(self, place: float) -> bool:
        """Whether a place lies in it; a limit itself belongs to the zone above."""
        return (self.low is None or place >= self.low) and (self.high is None or place < self.high)


@dataclass(frozen=True, slots=True)
class DotPlot:
    """What the picture shows: the dots, the range that holds most of them, and the zones if any."""

    places: tuple[float, ...]
    """Equally likely places, rising [%]."""
    step: float
    """Width of a column of dots [%]."""
    ends: tuple[float, float]
    """Ends of the range [%]."""
    words: str
    """What stands above the range."""
    axis: str
    zones: tuple[Zone, ...] = ()


def columns(data: DotPlot) -> list[tuple[float, int]]:
    """Return where each dot is drawn: the middle of its column [%] and its place in it, from 0.

    Columns stand around the median. A dot whose column lies across a limit goes into the next one on its
    own side, so that the dots of a zone can be counted.
    """
    median = (data.places[len(data.places) // 2 - 1] + data.places[len(data.places) // 2]) / 2.0
    filled: Counter[int] = Counter()
    found = []
    for place in data.places:
        column = round((place - median) / data.step)
        own = _zone_of(data.zones, place)
        middle = median + column * data.step
        if own is not None and not own.holds(middle):
            column += 1 if middle < place else -1
        found.append((median + column * data.step, filled[column]))
        filled[column] += 1
    return found


def _zone_of(zones: Sequence[Zone], place: float) -> Zone | None:
    return next((zone for zone in zones if zone.holds(place)), None)


def draw_dots(data: DotPlot, shape: Shape) -> Any:
    """Return the picture as a figure."""
    dots = columns(data)
    low, high = _span(data, dots, shape)
    width = shape.width - 2.0 * MARGIN
    size = min(DOT, data.step * width / (high - low) * 0.92)
    tall = (max(place for _, place in dots) + 1) * (size + ROOM * size / DOT) + 0.06
    names = [_name(data, shape, zone, (low, high)) for zone in data.zones]
    strip = max([STRIP, *(name.height for name in names if name)]) if data.zones else 0.0
    figure = sheet(shape, BRACKET + tall + strip + shape.foot)
    height = figure.get_figheight()
    left, right = MARGIN / shape.width, 1.0 - MARGIN / shape.width
    plane = figure.plane((left, shape.foot / height, right - left, (tall + strip) / height))
    plane.set_xlim(low, high)
    plane.set_ylim(-strip, tall)
    spare_ticks(plane, shape, grid="")
    pitch = size + ROOM * size / DOT
    plane.plot(
        [x for x, _ in dots], [0.03 + size / 2.0 + place * pitch for _, place in dots],
        linestyle="none", marker="o", markersize=size * POINTS, color=INK, markeredgewidth=0.0,
    )  # fmt: skip
    plane.level(0.0, color=QUIET, linewidth=0.8)
    _zones(plane, shape, data, (low, high), names, strip, tall)
    _bracket(plane, shape, data, tall)
    axis_name(plane, shape, data.axis)
    return figure


def _span(data: DotPlot, dots: Sequence[tuple[float, int]], shape: Shape) -> tuple[float, float]:
    """Ends of the axis: all dots, and room for the name of every zone that holds one."""
    low, high = (
        min(data.ends[0], *(x for x, _ in dots)) - data.step,
        max(data.ends[1], *(x for x, _ in dots)) + data.step,
    )
    short = max(LEAST_SPAN - (high - low), 0.0) / 2.0
    low, high = max(low - short, 0.0), high + short
    reached = _reached(data)
    for zone in (reached[:1] + reached[-1:]) if len(reached) > 1 else []:
        longest = max(len(word) for word in zone.name.split())
        need = (longest + 1) * shape.size * LETTER / POINTS / (shape.width - 2.0 * MARGIN)
        if zone.low is None or zone.low <= low:
            low = min(low, max((zone.high or high) - need * (high - low) * 1.15, 0.0))
        if zone.high is None or zone.high >= high:
            high = max(high, (zone.low or low) + need * (high - low) * 1.15)
    return _without_nameless(data, dots, shape, (low, math.ceil(high)))


def _without_nameless(
    data: DotPlot, dots: Sequence[tuple[float, int]], shape: Shape, span: tuple[float, float]
) -> tuple[float, float]:
    """Ends of the axis cut where a zone without a dot begins that has no room for its name."""
    low, high = span
    first = min(data.ends[0], *(x for x, _ in dots)) - data.step / 2.0
    last = max(data.ends[1], *(x for x, _ in dots)) + data.step / 2.0
    for zone in data.zones:
        if _name(data, shape, zone, span) is None:
            if zone.low is not None and zone.low > data.places[-1]:
                high = min(high, max(zone.low, last))
            if zone.high is not None and zone.high <= data.places[0]:
                low = max(low, min(zone.high, first))
    return low, high


@dataclass(frozen=True, slots=True)
class _Name:
    """A name as it fits a zone: its lines, whether they stand upright, and their height [inches]."""

    words: str
    is_upright: bool
    height: float


def _name(data: DotPlot, shape: Shape, zone: Zone, span: tuple[float, float]) -> _Name | None:
    """Return the name of a zone as it fits across, or else upright; None where it has no room.

    A zone without a dot has none upright: it would make the strip tall for what need not be seen.
    """
    low, high = span
    start, stop = max(zone.low or low, low), min(zone.high or high, high)
    wide = (stop - start) * (shape.width - 2.0 * MARGIN) / (high - low)
    letter, line = shape.size * LETTER / POINTS, LINE * shape.size / POINTS
    longest = max(map(len, zone.name.split()), default=0)
    room = int((wide - AROUND) / letter)
    if room >= max(longest, 1):
        lines = textwrap.wrap(zone.name, room)
        if len(lines) <= MOST_LINES:
            return _Name("\n".join(lines), False, len(lines) * line + 0.05)
    side_by_side = min(int(wide / line), MOST_LINES)
    if side_by_side < 1 or not any(map(zone.holds, data.places)):
        return None
    for room in range(longest, len(zone.name) + 1):
        lines = textwrap.wrap(zone.name, room)
        if len(lines) <= side_by_side:
            break
    return _Name("\n".join(lines), True, max(map(len, lines)) * letter + 0.1)


def _reached(data: DotPlot) -> list[Zone]:
    """Zones that hold a dot, and what lies between them."""
    held = [any(map(zone.holds, data.places)) for zone in data.zones]
    if not any(held):
        return []
    first, last = held.index(True), len(held) - held[::-1].index(True)
    return list(data.zones[first:last])


def _zones(
    plane: Any, shape: Shape, data: DotPlot, span: tuple[float, float],
    names: Sequence[_Name | None], strip: float, tall: float,
) -> None:  # fmt: skip
    """Draw the zones below the dots, each with its name inside it."""
    low, high = span
    for order, (zone, name) in enumerate(zip(data.zones, names, strict=True)):
        start, stop = max(zone.low or low, low), min(zone.high or high, high)
        if stop <= start:
            continue
        corners = [(start, -strip), (start, 0.0), (stop, 0.0), (stop, -strip)]
        plane.fill(corners, color=ZONES[order % 2], linewidth=0, zorder=0)
        if start > low:
            plane.plot([start, start], [-strip, 0.0], color=QUIET, linewidth=1.2)
            plane.plot([start, start], [0.0, tall], color=GRID, linewidth=1.0, zorder=0)
        if name is not None:
            plane.write(
                name.words, (start + stop) / 2.0, -strip / 2.0, ha="center", va="center",
                fontsize=shape.size, color=INK, linespacing=1.05,
                rotation=90.0 if name.is_upright else 0.0,
            )  # fmt: skip


def _bracket(plane: Any, shape: Shape, data: DotPlot, tall: float) -> None:
    """Draw the range above the dots, with its words."""
    low, high = data.ends
    for x in (low, high):
        plane.plot([x, x], [tall, tall + 0.06], color=INK, linewidth=1.6, is_cut=False)
        plane.plot([x, x], [0.0, tall], color=PALE, linewidth=1.0, linestyle=(0, (2, 3)), zorder=0)
    plane.plot([low, high], [tall + 0.06] * 2, color=INK, linewidth=1.6, is_cut=False)
    plane.write(
        data.words, (low + high) / 2.0, tall + 0.06, shift=(0.0, 4.0), ha="center", va="bottom",
        fontsize=shape.size + 1.0, color=INK, fontweight="bold",
    )  # fmt: skip
