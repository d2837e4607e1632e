"""Draw the rooms and who uses whom, from the imports: ``python tests/house/draw_rooms.py``.

A line goes from a room up to one that uses it. Only what is not reached by way of another room is
drawn: who sees the whole order sees all the imports. The top of the package, which every room may use,
is the floor. Writes docs/rooms.svg.
"""

from __future__ import annotations

import ast
import textwrap
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from html import escape
from itertools import pairwise

from house_rooms import ORDER, PACKAGE, ROOT, House, room_of, syntax_of

PICTURE = ROOT / "docs" / "rooms.svg"
TOP = ""
# of the picture, in pixels
WIDTH, BOX, HEIGHT, STEP, GAP, MARGIN = 980, 284, 54, 82, 24, 20
LINE_OF_TEXT = 44
Edges = dict[str, set[str]]

HEAD = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}"\
 height="{height}" role="img" aria-labelledby="title desc" font-family="sans-serif">
<title id="title">The rooms of foldspan</title>
<desc id="desc">{desc}</desc>
<style>
.sheet {{ fill: #ffffff; }} .room {{ fill: #eef2f5; stroke: #5b6b79; }}
.uses {{ fill: none; stroke: #5b6b79; stroke-width: 1.4; }}
.name {{ fill: #14212b; font-size: 14px; font-weight: bold; }} .job {{ fill: #2f3e4a; font-size: 11px; }}
@media (prefers-color-scheme: dark) {{
.sheet {{ fill: #12181d; }} .room {{ fill: #22303a; stroke: #9fb2c1; }} .uses {{ stroke: #9fb2c1; }}
.name {{ fill: #f2f6f9; }} .job {{ fill: #d3dee6; }}
}}
</style>
<rect class="sheet" width="{width}" height="{height}"/>
"""


def uses(house: House) -> Edges:
    """Which rooms each room imports from, the top left out."""
    found: Edges = {room: set() for room in ORDER if room != TOP}
    for module in house.modules:
        room = room_of(module)
        if room != TOP:
            used = {room_of(other) for other in house.used_by(module) if other}
            found[room] |= used - {room, TOP}
    return found


def reached(edges: Mapping[str, Iterable[str]], room: str) -> set[str]:
    """Every room below a room, by whatever way."""
    below = set(edges[room])
    return below.union(*(reached(edges, used) for used in below)) if below else below


def direct(edges: Edges) -> Edges:
    """The fewest lines from which every import follows by going on downwards."""
    return {
        room: {user for user in used if not any(user in reached(edges, other) for other in used)}
        for room, used in edges.items()
    }


def floors(edges: Edges) -> dict[str, int]:
    """On which floor each room is drawn: above all it uses, and near to those that use it."""
    floor: dict[str, int] = {}
    for room in ORDER[1:]:
        floor[room] = max((floor[used] + 1 for used in edges[room]), default=0)
    for room in reversed(ORDER[1:]):
        users = [floor[user] for user, used in edges.items() if room in used]
        if users and (not edges[room] or room_of(room.rpartition(".")[0]) != TOP):
            floor[room] = min(users) - 1  # a room within a room too stands right below what uses it
    return floor


def job_of(room: str) -> str:
    """What a room is for: the first sentence of its head, without its own name before a colon."""
    head = ast.get_docstring(syntax_of(PACKAGE.joinpath(*room.split("."), "__init__.py"))) or ""
    said = head.split("\n")[0].split(". ")[0].rstrip(".")
    begins, _, rest = said.partition(": ")
    if begins.lower() == room.split(".")[-1]:
        said = rest[:1].upper() + rest[1:]
    return said


@dataclass
class Plan:
    """Where every box stands. A line over several floors goes through a narrow place on each."""

    edges: Edges
    floor: dict[str, int] = field(init=False)
    rows: list[list[str]] = field(init=False)
    ways: dict[tuple[str, str], list[str]] = field(init=False)
    x: dict[str, float] = field(init=False)

    def __post_init__(self) -> None:
        self.floor = floors(self.edges)
        self.rows = [[] for _ in range(max(self.floor.values()) + 1)]
        for room in self.floor:
            self.rows[self.floor[room]].append(room)
        self.ways = {}
        for room, used in self.edges.items():
            for other in sorted(used):
                between = range(self.floor[other] + 1, self.floor[room])
                places = [f"{other}>{room}@{row}" for row in between]
                for row, place in zip(between, places, strict=True):
                    self.rows[row].append(place)
                self.ways[other, room] = [other, *places, room]
        for _ in range(12):
            self._sort(up=True)
            self._sort(up=False)
        self.x = self._places()

    def _neighbours(self, up: bool) -> Mapping[str, list[str]]:
        found: dict[str, list[str]] = {}
        for way in self.ways.values():
            for low, high in pairwise(way):
                end, neighbour = (high, low) if up else (low, high)
                found.setdefault(end, []).append(neighbour)
        return found

    def _sort(self, *, up: bool) -> None:
        """Put every row in the order of what it is joined to in the row before."""
        near = self._neighbours(up)
        at = {name: (place + 0.5) / len(row) for row in self.rows for place, name in enumerate(row)}
        for row in self.rows if up else reversed(self.rows):
            mean = {
                name: sum(at[other] for other in near[name]) / len(near[name])
                if name in near
                else at[name]
                for name in row
            }
            row.sort(key=lambda name: (mean[name], name))
            at |= {name: (place + 0.5) / len(row) for place, name in enumerate(row)}

    def _places(self) -> dict[str, float]:
        """The middle of every box across the picture, rows centred."""
        found = {}
        for row in self.rows:
            wide = [BOX if name in self.floor else 0 for name in row]
            left = (WIDTH - sum(wide) - GAP * (len(row) - 1)) / 2
            assert left >= 0, row
            for name, width in zip(row, wide, strict=True):
                found[name] = left + width / 2
                left += width + GAP
        return found


def drawn(house: House) -> str:
    """The picture as SVG."""
    plan = Plan(direct(uses(house)))
    height = MARGIN * 2 + STEP * (len(plan.rows) + 1) - (STEP - HEIGHT)

    def top_of(row: int) -> int:
        return height - MARGIN - HEIGHT - STEP * (row + 1)

    description = "; ".join(
        f"{room} uses {', '.join(sorted(used))}" for room, used in plan.edges.items() if used
    )
    parts = [HEAD.format(width=WIDTH, height=height, desc=escape(description))]
    parts += [_line(plan, way, top_of) for way in plan.ways.values()]
    parts += [
        _box(room, plan.x[room], top_of(row), BOX, job_of(room)) for room, row in plan.floor.items()
    ]
    job = "Quantities, units and coded problems: what every room may use"
    parts.append(_box("foldspan", WIDTH / 2, top_of(-1), WIDTH - 2 * MARGIN, job))
    return "".join(parts) + "</svg>\n"


def _line(plan: Plan, way: list[str], top_of: Callable[[int], int]) -> str:
    """A line from the top of one box up to the foot of another."""
    row = plan.floor[way[0]]
    at = f"{plan.x[way[0]]:.0f} {top_of(row)}"
    path = f"M{at}"
    for place, name in enumerate(way[1:], start=1):
        y = top_of(row + place)
        before, here, foot = plan.x[way[place - 1]], plan.x[name], y + HEIGHT
        start = y + STEP
        middle = (start + foot) / 2
        path += f" C{before:.0f} {middle:.0f} {here:.0f} {middle:.0f} {here:.0f} {foot}"
        if name not in plan.floor:
            path += f" L{here:.0f} {y}"
    return f'<path class="uses" data-used="{way[0]}" data-by="{way[-1]}" d="{path}"/>\n'


def _box(room: str, x: float, y: float, width: float, job: str) -> str:
    lines = textwrap.wrap(job, LINE_OF_TEXT if width == BOX else 90)
    assert len(lines) <= 2, f"the head of {room} is too long to be drawn: {job}"
    shown = room.replace(".", "/") + "/"
    parts = [
        f'<rect class="room" x="{x - width / 2:.0f}" y="{y}" width="{width}" height="{HEIGHT}" rx="4"/>',
        f'<text class="name" x="{x:.0f}" y="{y + 17}" text-anchor="middle">{shown}</text>',
    ]
    parts += [
        f'<text class="job" x="{x:.0f}" y="{y + 32 + 14 * place}" text-anchor="middle">'
        f"{escape(line)}</text>"
        for place, line in enumerate(lines)
    ]
    return "\n".join(parts) + "\n"


if __name__ == "__main__":
    PICTURE.write_text(drawn(House(PACKAGE)), encoding="utf-8")
