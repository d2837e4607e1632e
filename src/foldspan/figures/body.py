"""Picture of the measuring sites: the whole person, the sites numbered."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from xml.etree.ElementTree import tostring

import numpy as np

from foldspan.figures.body_drawing import MM, Pen, element
from foldspan.figures.body_labels import (
    LETTER,
    LINE,
    NARROWEST,
    SMALLEST,
    Label,
    Site,
    place_at,
    sheet_of,
    spread,
    target_of,
    write,
)
from foldspan.protocol.body.curves import VIEWS, Point, View, outline
from foldspan.protocol.body.place import Place
from foldspan.quantities import BY_NAME

CAPTIONS: dict[View, str] = {"front": "front", "back": "back", "side": "right side"}
# the lifted arm of the side view: labels keep off it, and are not put beyond it [cm]
_TRUNK, _ARM_TOP, _ARM_FOOT = 15.0, 29.0, 45.0
# from number to number, in their height
_PITCH = 1.1


def body_svg(
    sites: Sequence[Site],
    *,
    views: Sequence[View] = (),
    is_numbered: bool = True,
    narrowest: float = NARROWEST,
    title: str = "",
    desc: str = "",
    is_file: bool = False,
) -> str:
    """Return the whole person with the signs of some sites, numbered in their order, as SVG.

    Parameters
    ----------
    sites : sequence of str or (str, str)
        Quantities, or quantities with a variant of their site.
    views : sequence of {"front", "back", "side"}
        Views to show, those that a site needs by default. A site of another view is not drawn, and
        numbers stay those of ``sites``: a page may set one picture a view.
    is_numbered : bool
        Whether numbers stand beside the person.
    narrowest : float
        Width at which the numbers still have to be read [CSS pixels].
    title, desc : str
        Name and description for those who do not see it, by default made from the sites.
    is_file : bool
        Whether it stands alone and brings its colours for light and dark in a style element. On a page
        the page colours it: classes ``body-…``, ``currentColor``.

    Raises
    ------
    KeyError
        For a quantity that is not measured, or a variant that it has not.
    """
    places = [place_at(site) for site in sites]
    shown = views or [view for view in VIEWS if any(place.view == view for place in places)]
    size, panels = 0.0, []
    # letters are as tall as the width asks for, and the width holds the letters
    for _ in range(8):
        panels = [_panel(view, places, size, is_numbered=is_numbered) for view in shown]
        wide = sum(right - left for left, right, _ in panels) + 3.0 * (len(panels) - 1)
        size = SMALLEST / narrowest * wide
    foot = 176.0 + 1.4 * size
    sheet = sheet_of(
        wide,
        foot + 5.0,
        title or "Measuring sites",
        desc or _description(places, shown),
        narrowest if is_file else None,
    )
    x = 0.0
    for view, (left, right, labels) in zip(shown, panels, strict=True):
        pen = Pen(sheet, MM * (x - left), 50.0, MM * LINE / narrowest * wide, 0.8 * size)
        pen.person(view)
        for place in places:
            if place.view == view:
                pen.sign(place)
        for label in labels:
            write(pen, label, size)
        _captions(pen, view, size)
        x += right - left + 3.0
    return tostring(sheet, encoding="unicode")


def _description(places: Sequence[Place], shown: Sequence[View]) -> str:
    """The sites of the views shown, with their numbers."""
    parts = []
    for view in shown:
        named = [
            f"{order} {BY_NAME[place.name].label}"
            for order, place in enumerate(places, start=1)
            if place.view == view
        ]
        parts.append(f"{CAPTIONS[view].capitalize()}: {', '.join(named) or 'no site'}.")
    return " ".join(parts)


def _panel(
    view: View, places: Sequence[Place], size: float, *, is_numbered: bool
) -> tuple[float, float, list[Label]]:
    """Return how far a view reaches to the left and right, and its labels [cm]."""
    skin = outline(view)
    left, right = float(skin[:, 0].min()), float(skin[:, 0].max())
    numbered = [
        (str(order), place)
        for order, place in enumerate(places, start=1)
        if is_numbered and place.view == view
    ]
    if any(place.kind == "height" for place in places if place.view == view):
        left = min(left, -14.5)
    labels = _numbers(view, numbered, size)
    for label in labels:
        wide = size * (LETTER * len(label.lines[0]) + 0.25)
        left = min(left, label.edge.x - wide) if label.side < 0 else left
        right = max(right, label.edge.x + wide) if label.side > 0 else right
    return left - 1.0, right + 1.0, labels


def _numbers(view: View, numbered: list[tuple[str, Place]], size: float) -> list[Label]:
    """Where the numbers of a view stand: beside the person, on the side of the sites."""
    side = -1 if view == "front" else 1
    labels = []
    for words, place in numbered:
        if place.kind == "height":
            edge = place.at.moved(14.0 + 0.4 * size, 180.0).moved(2.0, 90.0)
            labels.append(Label((words,), edge, -1, edge))
    beside = [(words, place) for words, place in numbered if place.kind != "height"]
    wanted = [_level(view, target_of(place, side).y) for _, place in beside]
    middles = spread(wanted, [_PITCH * size] * len(beside))
    away = [_reach(view, side, y, size) for y in middles]
    for (words, place), y in zip(beside, middles, strict=True):
        # numbers right below one another stand in one column: no leader then runs over one of them
        column = [
            reach
            for reach, other in zip(away, middles, strict=True)
            if _joined(y, other, middles, size)
        ]
        edge = Point(side * (max(column) + 0.5 * size), y)
        off = 0.3 * size if place.kind == "skinfold" else 0.0
        labels.append(Label((words,), edge, side, target_of(place, side), off))
    return labels


def _level(view: View, y: float) -> float:
    """The level wanted for a number: none stands on the lifted arm of the side view."""
    return max(y, _ARM_FOOT) if view == "side" and y > _ARM_TOP else y


def _joined(y: float, other: float, middles: Sequence[float], size: float) -> bool:
    """Whether two numbers belong to one column, with no gap between them."""
    low, high = min(y, other), max(y, other)
    between = sorted(middle for middle in middles if low <= middle <= high)
    return all(after - before <= 1.3 * _PITCH * size for before, after in pairwise(between))


def _reach(view: View, side: int, y: float, size: float) -> float:
    """How far the person reaches to a side beside a label, without the lifted arm of the side view."""
    skin = outline(view)
    level = np.abs(skin[:, 1] - y) < 0.7 * size
    if view == "side":
        level &= np.abs(skin[:, 0]) < _TRUNK
    across = side * skin[level, 0]
    return max(float(across.max()) if across.size else 0.0, 20.0 if y > 168.0 else 0.0)


def _captions(pen: Pen, view: View, size: float) -> None:
    """Write what the view is, and which side of the person is which."""
    sides = {"front": (("R", -17.0), ("L", 17.0)), "back": (("L", -17.0), ("R", 17.0)), "side": ()}
    for words, x, y in (
        (CAPTIONS[view], 0.0, 176.0 + size),
        *((letter, x, 18.0) for letter, x in sides[view]),
    ):
        left, top = pen.at(Point(x, y))
        element(
            pen.sheet, "text", words, class_="body-caption", x=left, y=top, font_size=MM * size,
            fill="currentColor", text_anchor="middle",
        )  # fmt: skip
