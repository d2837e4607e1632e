"""The sheet of a picture of the person, and labels beside it, none of which covers another."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from foldspan.figures.body_drawing import MM, Pen, element, number
from foldspan.figures.style import INK
from foldspan.protocol.body.curves import Point
from foldspan.protocol.body.place import Place
from foldspan.protocol.body.places import place_of

Site = str | tuple[str, str]
"""A quantity, or a quantity and the variant of its site."""
# smallest text on the narrowest screen, and the text of a label [CSS pixels]
SMALLEST, LABEL, NARROWEST = 12.0, 13.0, 360.0
# line width at the narrowest screen [CSS pixels]
LINE = 1.15
# a picture that stands alone follows the reader's light or dark; on a page the page decides
_ALONE = f"""
svg {{ color: {INK}; }} .body-sheet {{ fill: #ffffff; }}
@media (prefers-color-scheme: dark) {{
svg {{ color: #e6eef4; }} .body-sheet {{ fill: #12181d; }}
.body-mark, .body-hidden {{ stroke: #e39a4f; }} .body-here {{ fill: #e39a4f; }}
}}
"""
# how wide a letter is for its height, bold ones and figures included, in common sans serifs
LETTER = 0.56


@dataclass(frozen=True, slots=True)
class Label:
    """A label beside the figure: its edge next to the figure, in cm of the view, and what it names."""

    lines: tuple[str, ...]
    edge: Point
    side: int
    target: Point
    off: float = 0.0
    """How far from it the leader ends."""
    bold: int = 1
    """How many of the lines, from the first, are bold."""


def place_at(site: Site) -> Place:
    """Return the place of a site, with its variant where one is named."""
    return place_of(site) if isinstance(site, str) else place_of(*site)


def target_of(place: Place, side: int) -> Point:
    """Return the end of a sign to which the leader of its label runs."""
    if place.kind == "mass":
        return Point(side * 19.0, place.at.y + 2.4)
    return max(place.ends, key=lambda end: side * end.x) if place.ends else place.at


def sheet_of(wide: float, tall: float, title: str, desc: str, alone: float | None) -> Element:
    """Return an empty picture of so many cm; ``alone`` is its width as a file [CSS pixels]."""
    width, height = MM * wide, MM * tall
    given = {
        "xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {width:.0f} {height:.0f}",
        "role": "img", "class": "body-figure", "font-family": "sans-serif",
    }  # fmt: skip
    sheet = Element("svg", given)
    element(sheet, "title", title)
    element(sheet, "desc", desc)
    if alone is not None:
        sheet.attrib |= {"width": number(alone), "height": number(alone * tall / wide)}
        element(sheet, "style", _ALONE)
        element(sheet, "rect", class_="body-sheet", width=width, height=height, fill="#ffffff")
    return sheet


def spread(wanted: Sequence[float], heights: Sequence[float]) -> list[float]:
    """Return the middles of labels that stand one below the other, as near as can be to those wanted.

    Least squares under the order: what would overlap is set as one block round its mean.

    Parameters
    ----------
    wanted : sequence of float
        The middles wanted, in any order.
    heights : sequence of float
        How much room each takes, in the same unit.
    """
    order = sorted(range(len(wanted)), key=lambda label: wanted[label])
    # blocks of labels: where the top of the block would stand, how many labels, how tall
    blocks: list[tuple[float, list[int], float]] = []
    for label in order:
        block = (wanted[label] - heights[label] / 2.0, [label], heights[label])
        while blocks and blocks[-1][0] + blocks[-1][2] > block[0]:
            top, members, tall = blocks.pop()
            count, more = len(members), len(block[1])
            mean = (top * count + (block[0] - tall) * more) / (count + more)
            block = (mean, members + block[1], tall + block[2])
        blocks.append(block)
    found = [0.0] * len(wanted)
    for top, members, _ in blocks:
        for label in members:
            found[label] = top + heights[label] / 2.0
            top += heights[label]
    return found


def wrapped(words: str, letters: int) -> list[str]:
    """Return the lines of a label, none of them longer than so many letters unless one word is."""
    return textwrap.wrap(words, letters, break_long_words=False) or [words]


def write(pen: Pen, label: Label, size: float) -> None:
    """Write a label of so many cm with its leader."""
    gap = 0.25 * size * label.side
    if label.target != label.edge:
        end = label.target.moved(label.off, label.target.angle_to(label.edge))
        pen.line("body-leader", (label.edge, end), 0.8)
    x, y = pen.at(label.edge)
    top = y - MM * size * (1.2 * (len(label.lines) - 1) / 2.0 - 0.36)
    for order, words in enumerate(label.lines):
        element(
            pen.sheet, "text", words, class_="body-label", x=x + MM * gap,
            y=top + MM * 1.2 * size * order, font_size=MM * size, fill="currentColor",
            text_anchor="end" if label.side < 0 else "start",
            font_weight="bold" if order < label.bold else "normal",
        )  # fmt: skip
